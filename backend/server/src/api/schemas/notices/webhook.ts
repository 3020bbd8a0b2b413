import { z } from 'zod';
import { webhookEvents } from '../../../notices/webhooks/event.js';
import { instant } from '../common.js';
import { sentMessageSchema } from './notices.js';

const fields = {
  name: z.string().trim().min(1).max(100),
  address: z.string().trim().min(1).max(2000),
  events: z
    .array(z.enum(webhookEvents))
    .min(1)
    .describe(
      'needs-a-look-today, more-urgent, less-urgent: the place of a unit on the round; decided: a decision on a finding',
    ),
};

export const webhookSchema = z
  .object({ id: z.number(), ...fields, active: z.boolean(), madeAt: instant })
  .meta({ id: 'Webhook' });
export const webhookListSchema = z.object({ webhooks: z.array(webhookSchema) }).meta({ id: 'WebhookList' });
export const webhookWishSchema = z.object(fields).meta({ id: 'WebhookWish' });
export const webhookChangeSchema = z.object({ ...fields, active: z.boolean() }).meta({ id: 'WebhookChange' });
export const webhookSecretSchema = z
  .object({
    webhook: webhookSchema,
    secret: z.string().describe('Signs what is sent, by Standard Webhooks; shown here and never again'),
  })
  .meta({ id: 'WebhookSecret' });
export const deliveryListSchema = z
  .object({ deliveries: z.array(sentMessageSchema).describe('The last messages to a webhook') })
  .meta({ id: 'DeliveryList' });
