export * from './ingest-service.js';
export { AcknowledgingClient, type HeldMessage } from './acknowledging-client.js';
