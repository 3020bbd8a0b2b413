export * from './ingest-service.js';
export { AcknowledgingClient, type HeldMessage } from './receiving/acknowledging-client.js';
