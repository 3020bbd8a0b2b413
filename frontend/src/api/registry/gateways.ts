import { queryOptions } from '@tanstack/react-query';
import { client, read } from '../client.js';
import type { components } from '../schema.js';

type Schemas = components['schemas'];
export type GatewayList = Schemas['GatewayList'];
export type Gateway = Schemas['Gateway'];
export type GatewayRefusal = Schemas['GatewayRefusal'];

export const gatewaysQuery = (site: string) =>
  queryOptions({
    queryKey: ['registry', 'gateways', site],
    queryFn: ({ signal }) =>
      read(client.GET('/api/registry/sites/{site}/gateways', { params: { path: { site } }, signal })),
  });

export const makeGateway = ({ site, name }: { site: string; name: string }) =>
  read(client.POST('/api/registry/sites/{site}/gateways', { params: { path: { site } }, body: { name } }));

export const revokeGateway = ({ site, number }: { site: string; number: number }) =>
  read(
    client.DELETE('/api/registry/sites/{site}/gateways/{number}', {
      params: { path: { site, number } },
    }),
  );
