export type LiveState = 'connecting' | 'live' | 'lost';

/** The server is heard every five seconds; with nothing heard for this long the connection is lost. */
export const lostAfter_ms = 12_000;
/** How often a lost connection is tried anew. */
export const retryEvery_ms = 5_000;
const look_ms = 1_000;

export interface ConnectionParts {
  /** Opens a stream of events anew; what it hears is told to `heard`. */
  connect: () => { close(): void };
  /** Called when the state changes. */
  told: (state: LiveState) => void;
  /** When the server was last heard over a stream before this one, ms. */
  heardAt_ms?: number;
  now?: () => number;
}

export interface Connection {
  /** Anything came from the server. */
  heard(): void;
  /** When anything last came, ms. */
  lastHeard(): number;
  stop(): void;
}

/**
 * Keeps a stream of events open and tells when nothing comes any more: a cable that is pulled closes no stream, and a
 * proxy may answer for a server that is down. A browser that connects again by itself gives up on some errors, so a
 * lost stream is opened anew until it is heard.
 */
export function keepConnected({
  connect,
  told,
  now = Date.now,
  heardAt_ms = now(),
}: ConnectionParts): Connection {
  let state: LiveState = 'connecting';
  let heardAt = heardAt_ms;
  let triedAt = now();
  let source = connect();
  const become = (next: LiveState) => {
    if (next === state) return;
    state = next;
    told(next);
  };
  const timer = setInterval(() => {
    if (now() - heardAt < lostAfter_ms) return;
    become('lost');
    if (now() - triedAt < retryEvery_ms) return;
    triedAt = now();
    source.close();
    source = connect();
  }, look_ms);
  return {
    heard() {
      heardAt = now();
      become('live');
    },
    lastHeard: () => heardAt,
    stop() {
      clearInterval(timer);
      source.close();
    },
  };
}
