export { closingTimeFromOpen_s } from './closing-time.js';
export { packMonths, unpackMonths, type StudiedMonth } from './packed-months.js';
