import { queryOptions } from '@tanstack/react-query';
import { client, read } from './client.js';
import { done } from './people.js';
import type { components } from './schema.js';

type Schemas = components['schemas'];
export type OwnNotices = Schemas['OwnNotices'];
export type NoticeWish = Schemas['NoticeWish'];
export type SentMessage = Schemas['SentMessage'];
export type MailState = Schemas['MailState'];
export type Webhook = Schemas['Webhook'];
export type WebhookWish = Schemas['WebhookWish'];
export type WebhookEvent = Webhook['events'][number];

/** What is sent comes through after a moment: the page looks again while something waits. */
const lookAgain_ms = 2_000;

export const ownNoticesQuery = queryOptions({
  queryKey: ['notices'],
  queryFn: ({ signal }) => read(client.GET('/api/notices', { signal })),
  refetchInterval: ({ state }) =>
    state.data?.messages.some(({ state }) => state === 'waiting') ? lookAgain_ms : false,
});
export const keepNotices = (body: NoticeWish) => read(client.PUT('/api/notices', { body }));
export const testNotices = () => read(client.POST('/api/notices/test'));

export const mailQuery = queryOptions({
  queryKey: ['mail'],
  queryFn: ({ signal }) => read(client.GET('/api/mail', { signal })),
});
export const checkMail = () => read(client.POST('/api/mail/check'));

export const deadLettersQuery = queryOptions({
  queryKey: ['dead-letters'],
  queryFn: ({ signal }) => read(client.GET('/api/dead-letters', { signal })),
});
export const sendAgain = (id: number) =>
  read(client.POST('/api/dead-letters/{id}/again', { params: { path: { id } } }));

export const webhooksQuery = queryOptions({
  queryKey: ['webhooks'],
  queryFn: ({ signal }) => read(client.GET('/api/webhooks', { signal })),
});
export const deliveriesQuery = (id: number) =>
  queryOptions({
    queryKey: ['webhooks', id, 'deliveries'],
    queryFn: ({ signal }) =>
      read(client.GET('/api/webhooks/{id}/deliveries', { params: { path: { id } }, signal })),
    refetchInterval: ({ state }) =>
      state.data?.deliveries.some(({ state }) => state === 'waiting') ? lookAgain_ms : false,
  });
export const makeWebhook = (body: WebhookWish) => read(client.POST('/api/webhooks', { body }));
export const changeWebhook = (id: number, body: WebhookWish & { active: boolean }) =>
  read(client.PATCH('/api/webhooks/{id}', { params: { path: { id } }, body }));
export const newWebhookSecret = (id: number) =>
  read(client.POST('/api/webhooks/{id}/secret', { params: { path: { id } } }));
export const testWebhook = (id: number) =>
  read(client.POST('/api/webhooks/{id}/test', { params: { path: { id } } }));
export const removeWebhook = (id: number) =>
  done(client.DELETE('/api/webhooks/{id}', { params: { path: { id } } }));
