import '../registry/registry.css';
import '../people/people.css';
import './gateways.css';
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { Link, useParams } from '@tanstack/react-router';
import { useState } from 'react';
import {
  gatewaysQuery,
  makeGateway,
  revokeGateway,
  type Gateway,
  type GatewayList,
  type GatewayRefusal,
} from '../../api/registry/gateways.js';
import { registeredSiteQuery } from '../../api/registry/registry.js';
import { PageTitle } from '../../components/page-title.js';
import { FormError } from '../../components/form-error.js';
import { Failed, Loading } from '../../components/states.js';
import { useTimes, ZoneProvider } from '../../components/zone.js';
import { count as counted } from '../../quantities/format-quantity.js';
import { Field } from '../people/field.js';
import { useMay } from '../people/use-session.js';
import { brokerWords, refusalWords } from './gateway-words.js';

/** Keys of a site's gateways: made and revoked here, with when each was let in and what it was refused. */
export function GatewaysPage() {
  const { site: key } = useParams({ from: '/registry/$site/gateways' });
  const site = useQuery(registeredSiteQuery(key));
  const gateways = useQuery({ ...gatewaysQuery(key), refetchInterval: 10_000 });
  const name = site.data?.draft.name ?? key;
  return (
    <>
      <PageTitle>{`Gateways of ${name} – Coldrounds`}</PageTitle>
      <p>
        <Link to="/registry">Registry</Link>,{' '}
        <Link to="/registry/$site" params={{ site: key }}>
          {name}
        </Link>
      </p>
      <h1>Gateways of {name}</h1>
      {gateways.isPending ? (
        <Loading what="the gateways" />
      ) : gateways.isError ? (
        <Failed what="the gateways" error={gateways.error} retry={() => void gateways.refetch()} />
      ) : (
        <ZoneProvider value={site.data?.draft.timeZone ?? null}>
          <Gateways site={key} list={gateways.data} />
        </ZoneProvider>
      )}
    </>
  );
}

function Gateways({ site, list }: { site: string; list: GatewayList }) {
  const may = useMay('admit');
  return (
    <>
      <p className="registry-lead">
        A gateway signs in at the MQTT broker with a key of its own, which is a user and a password. The key
        opens the topics of this site only: <code>{list.topics[0]}</code>, and in Sparkplug B the group{' '}
        <code>{site}</code>.
      </p>
      <section className="registry-section gateway-broker">
        <h2>How a gateway connects</h2>
        {brokerWords(list.broker).map((sentence) => (
          <p key={sentence}>{sentence}</p>
        ))}
      </section>
      <section className="registry-section">
        <h2>Keys</h2>
        {list.gateways.length === 0 ? (
          <p className="notice">No gateway of this site has a key yet.</p>
        ) : (
          <ul className="people-list">
            {list.gateways.map((gateway) => (
              <Key key={gateway.number} gateway={gateway} may={may} />
            ))}
          </ul>
        )}
        {may ? (
          <NewKey site={site} />
        ) : (
          <p className="quiet">A service manager or an administrator can make and revoke keys.</p>
        )}
      </section>
      {list.strangers !== null && list.strangers.length > 0 && (
        <section className="registry-section">
          <h2>Clients without a key</h2>
          <p className="registry-lead">Refused by the broker. They may belong to any site, or to none.</p>
          <Refusals refusals={list.strangers} />
        </section>
      )}
    </>
  );
}

function NewKey({ site }: { site: string }) {
  const queries = useQueryClient();
  const [name, setName] = useState('');
  const making = useMutation({
    mutationFn: makeGateway,
    onSuccess: async () => {
      setName('');
      await queries.invalidateQueries({ queryKey: gatewaysQuery(site).queryKey });
    },
  });
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        making.mutate({ site, name });
      }}
    >
      <Field
        label="What the gateway is called, or where it stands"
        value={name}
        onChange={setName}
        hint="A key for each gateway: so that one can be revoked without the others."
      />
      <FormError why={making.error?.message} />
      {making.isSuccess && (
        <div className="notice" role="status">
          <p>Enter these in the gateway now. The password is not kept and cannot be shown again.</p>
          <dl className="gateway-key">
            <dt>User</dt>
            <dd>
              <code>{making.data.gateway.user}</code>
            </dd>
            <dt>Password</dt>
            <dd>
              <code>{making.data.password}</code>
            </dd>
          </dl>
        </div>
      )}
      <button type="submit" className="button" disabled={making.isPending}>
        Make a key
      </button>
    </form>
  );
}

function Key({ gateway, may }: { gateway: Gateway; may: boolean }) {
  const times = useTimes();
  const at = (instant: string) => times.instant(Date.parse(instant) / 1000);
  const { name, user, madeAt, madeBy, revokedAt, revokedBy, connectedAt, refusals } = gateway;
  return (
    <li>
      <p>
        <strong>{name}</strong>, user <code>{user}</code>
      </p>
      <p className="small quiet">
        Made {at(madeAt)} by {madeBy}
        {revokedAt !== null && `; revoked ${at(revokedAt)} by ${revokedBy}`}
        {connectedAt !== null && `; last let in ${at(connectedAt)}`}
      </p>
      <Refusals refusals={refusals} />
      {may && revokedAt === null && <Revoke gateway={gateway} />}
    </li>
  );
}

function Refusals({ refusals }: { refusals: GatewayRefusal[] }) {
  const times = useTimes();
  return (
    <ul className="gateway-refusals">
      {refusals.map((refusal) => (
        <li key={refusal.reason}>
          {refusalWords(refusal)}{' '}
          <span className="quiet">
            {refusal.count === 1 ? 'Once, on ' : `${counted(refusal.count, 'time')}, the last on `}
            {times.instant(Date.parse(refusal.lastAt) / 1000)}.
          </span>
        </li>
      ))}
    </ul>
  );
}

/** Asked twice, as the telemetry of a gateway ends with its key. */
function Revoke({ gateway: { site, number, user } }: { gateway: Gateway }) {
  const queries = useQueryClient();
  const [asked, setAsked] = useState(false);
  const revoking = useMutation({
    mutationFn: revokeGateway,
    onSuccess: () => queries.invalidateQueries({ queryKey: gatewaysQuery(site).queryKey }),
  });
  if (!asked)
    return (
      <button type="button" className="button small" onClick={() => setAsked(true)}>
        Revoke <span className="hidden-visually">{user}</span>
      </button>
    );
  return (
    <>
      <p>Its gateway is disconnected at once, and its telemetry ends until it has another key.</p>
      <FormError why={revoking.error?.message} />
      <p className="registry-tools">
        <button
          type="button"
          className="button small"
          disabled={revoking.isPending}
          onClick={() => revoking.mutate({ site, number })}
        >
          Revoke {user} now
        </button>
        <button type="button" className="button small" onClick={() => setAsked(false)}>
          Keep it
        </button>
      </p>
    </>
  );
}
