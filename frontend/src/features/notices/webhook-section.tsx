import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import {
  changeWebhook,
  deliveriesQuery,
  makeWebhook,
  newWebhookSecret,
  removeWebhook,
  testWebhook,
  webhooksQuery,
  type Webhook,
  type WebhookEvent,
  type WebhookWish,
} from '../../api/notices.js';
import { FormError } from '../../components/form-error.js';
import { Failed, Loading } from '../../components/states.js';
import { Field } from '../people/field.js';
import { MessageList } from './message-list.js';
import { eventWords } from './notice-words.js';

const allEvents = Object.keys(eventWords) as WebhookEvent[];

/** Programs elsewhere that are told of changes. */
export function WebhookSection() {
  const webhooks = useQuery(webhooksQuery);
  return (
    <section className="outgoing">
      <h2>Webhooks</h2>
      <p className="quiet">
        Each is called by a signed POST request (Standard Webhooks): at most once a day for each unit, unless
        the unit gets more urgent.
      </p>
      {webhooks.isPending ? (
        <Loading what="the webhooks" />
      ) : webhooks.isError ? (
        <Failed what="the webhooks" error={webhooks.error} retry={() => void webhooks.refetch()} />
      ) : (
        <ul className="people-list">
          {webhooks.data.webhooks.map((webhook) => (
            <WebhookEntry key={webhook.id} webhook={webhook} />
          ))}
        </ul>
      )}
      <NewWebhook />
    </section>
  );
}

function useRefresh(): () => void {
  const queries = useQueryClient();
  return () => void queries.invalidateQueries({ queryKey: webhooksQuery.queryKey });
}

function Secret({ secret }: { secret: string }) {
  return (
    <p className="notice" role="status">
      The secret, shown only now: <code>{secret}</code>
    </p>
  );
}

function NewWebhook() {
  const refresh = useRefresh();
  const [wish, setWish] = useState<WebhookWish>({ name: '', address: '', events: ['needs-a-look-today'] });
  const making = useMutation({ mutationFn: makeWebhook, onSuccess: refresh });
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        making.mutate(wish);
      }}
    >
      <h3>A new webhook</h3>
      <WishFields wish={wish} onChange={setWish} />
      <FormError why={making.error?.message} />
      {making.isSuccess && <Secret secret={making.data.secret} />}
      <button type="submit" className="button" disabled={making.isPending || wish.events.length === 0}>
        Make the webhook
      </button>
    </form>
  );
}

function WishFields({ wish, onChange }: { wish: WebhookWish; onChange: (wish: WebhookWish) => void }) {
  return (
    <>
      <Field label="Name" value={wish.name} onChange={(name) => onChange({ ...wish, name })} />
      <Field
        label="Address"
        hint="Begins with https:// and belongs to the public internet, unless the server's settings allow others."
        value={wish.address}
        onChange={(address) => onChange({ ...wish, address })}
      />
      <fieldset>
        <legend>It is called when</legend>
        {allEvents.map((event) => (
          <label key={event} className="tick">
            <input
              type="checkbox"
              checked={wish.events.includes(event)}
              onChange={({ target }) =>
                onChange({
                  ...wish,
                  events: allEvents.filter((other) =>
                    other === event ? target.checked : wish.events.includes(other),
                  ),
                })
              }
            />
            {eventWords[event]}
          </label>
        ))}
      </fieldset>
    </>
  );
}

function WebhookEntry({ webhook }: { webhook: Webhook }) {
  const refresh = useRefresh();
  const [open, setOpen] = useState(false);
  const secret = useMutation({ mutationFn: newWebhookSecret });
  const removing = useMutation({ mutationFn: removeWebhook, onSuccess: refresh });
  return (
    <li>
      <p>
        <strong>{webhook.name}</strong>
        {!webhook.active && ', switched off'}
      </p>
      <p className="small quiet">
        <code>{webhook.address}</code> when {webhook.events.map((event) => eventWords[event]).join('; ')}
      </p>
      <button type="button" className="button small" aria-expanded={open} onClick={() => setOpen(!open)}>
        {webhook.name}: change, test, last messages
      </button>{' '}
      <button type="button" className="button small" onClick={() => secret.mutate(webhook.id)}>
        {webhook.name}: new secret
      </button>{' '}
      <button
        type="button"
        className="button small"
        disabled={removing.isPending}
        onClick={() => {
          if (window.confirm(`Remove the webhook ${webhook.name}, with what waits to be sent to it?`))
            removing.mutate(webhook.id);
        }}
      >
        {webhook.name}: remove
      </button>
      {secret.isSuccess && <Secret secret={secret.data.secret} />}
      {open && (
        <>
          <ChangeForm webhook={webhook} />
          <Deliveries id={webhook.id} />
        </>
      )}
    </li>
  );
}

function ChangeForm({ webhook }: { webhook: Webhook }) {
  const refresh = useRefresh();
  const [wish, setWish] = useState<WebhookWish>(webhook);
  const [active, setActive] = useState(webhook.active);
  const changing = useMutation({
    mutationFn: () =>
      changeWebhook(webhook.id, { name: wish.name, address: wish.address, events: wish.events, active }),
    onSuccess: refresh,
  });
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        changing.mutate();
      }}
    >
      <WishFields wish={wish} onChange={setWish} />
      <label className="tick">
        <input type="checkbox" checked={active} onChange={({ target }) => setActive(target.checked)} />
        switched on
      </label>
      <FormError why={changing.error?.message} />
      {changing.isSuccess && <p role="status">Saved.</p>}
      <button type="submit" className="button" disabled={changing.isPending || wish.events.length === 0}>
        Save
      </button>
    </form>
  );
}

function Deliveries({ id }: { id: number }) {
  const queries = useQueryClient();
  const deliveries = useQuery(deliveriesQuery(id));
  const testing = useMutation({
    mutationFn: testWebhook,
    onSuccess: (data) => queries.setQueryData(deliveriesQuery(id).queryKey, data),
  });
  return (
    <>
      <button
        type="button"
        className="button"
        disabled={testing.isPending}
        onClick={() => testing.mutate(id)}
      >
        Send a test
      </button>
      <FormError why={testing.error?.message} />
      <h4>The last messages</h4>
      {deliveries.isPending ? (
        <Loading what="the last messages" />
      ) : deliveries.isError ? (
        <Failed what="the last messages" error={deliveries.error} />
      ) : (
        <MessageList messages={deliveries.data.deliveries} none="None has been written yet." />
      )}
    </>
  );
}
