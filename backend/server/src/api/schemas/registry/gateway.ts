import { z } from 'zod';
import { refusalReasons } from '../../../storage/gateways/refusal-reasons.js';
import { instant } from '../common.js';

export const refusalReasonSchema = z.enum(refusalReasons).meta({ id: 'RefusalReason' });

export const gatewayRefusalSchema = z
  .object({
    reason: refusalReasonSchema,
    count: z.number(),
    lastAt: instant,
    detail: z.string().describe('The topic, or where it came from'),
  })
  .meta({ id: 'GatewayRefusal' });

export const gatewaySchema = z
  .object({
    site: z.string(),
    number: z.number().describe('From 1 at its site'),
    user: z.string().describe('Its user at the broker'),
    name: z.string(),
    madeAt: instant,
    madeBy: z.string(),
    revokedAt: instant.nullable(),
    revokedBy: z.string().nullable(),
    connectedAt: instant.nullable().describe('When the embedded broker last let it in'),
    refusals: z.array(gatewayRefusalSchema).describe('What the embedded broker refused it'),
  })
  .meta({ id: 'Gateway' });

export const gatewayListSchema = z
  .object({
    broker: z.object({
      kind: z
        .enum(['embedded', 'mosquitto', 'none'])
        .describe(
          'Where keys are handed to; none: this server hands them to no broker, and they open nothing by themselves',
        ),
      listens: z.array(z.string()).describe('Addresses of the embedded broker'),
    }),
    topics: z.array(z.string()).describe('Topics that a key of this site opens, for publishing'),
    gateways: z.array(gatewaySchema),
    strangers: z
      .array(gatewayRefusalSchema)
      .nullable()
      .describe('What was refused to clients without a key; null: for people who see all sites only'),
  })
  .meta({ id: 'GatewayList' });

export const gatewayWishSchema = z
  .object({ name: z.string().trim().min(1).max(100).describe('What it is called, or where it stands') })
  .meta({ id: 'GatewayWish' });

export const newGatewaySchema = z
  .object({ gateway: gatewaySchema, password: z.string().describe('Shown here and never again') })
  .meta({ id: 'NewGateway' });

export const gatewaysRefusedSchema = z.array(
  z.object({
    reason: refusalReasonSchema,
    count: z.number().describe('Since the embedded broker was set up'),
    gateways: z.number().describe('Gateways concerned; 0: only clients without a key'),
    lastAt: instant,
  }),
);
