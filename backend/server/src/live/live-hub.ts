import type { AttentionRepository } from '../storage/repositories/findings/attention.repository.js';
import type { NotificationRepository } from '../storage/repositories/findings/notification.repository.js';
import type { LatestRepository, UnitNews } from '../storage/repositories/readings/latest.repository.js';
import type { NumberedChangesService } from './numbered-changes.service.js';
import type { Progress } from './progress.service.js';

/** Server-sent events, as they happen. */
export interface LiveEvent {
  type: 'connected' | 'alive' | 'round-changed' | 'read-again' | 'progress' | 'reading' | 'unit-changed';
  data: object;
  /** Number of the newest change of the round that the reader knows after this event. */
  id?: string;
}

export interface Listening {
  /** `{site key}/{unit key}` of the unit whose readings and judgements are to be told as well. */
  unit?: string;
  /** Number of the newest change that the reader knows from before. */
  since?: number;
}

interface Listener {
  unit?: string;
  /** Number of the newest change that it was told of; null until it has been greeted. */
  known: number | null;
  hear: (event: LiveEvent) => void;
  end: () => void;
}

export interface LiveParts {
  notifications: NotificationRepository;
  attention: Pick<AttentionRepository, 'state'>;
  numbered: NumberedChangesService;
  latest: LatestRepository;
  progress: () => Promise<Progress>;
}

const tellOthers_ms = 500;
/** Notifications may get lost with their connection, so each process also looks by itself. */
const lookAnyway_ms = 15_000;
const watch_ms = 5_000;
/** So that an open page can tell silence from a lost connection. */
const alive_ms = 5_000;
const progressLoading_ms = 2_000;
const progressSettled_ms = 15_000;
/** More changes than these at once are told as "read again". */
const mostUnits = 200;

/**
 * Tells open pages what changed. Changes of the round are numbered in the database; a notification only says that
 * there are new ones, and each process reads them by number, so that none is lost on the way. Whoever comes back after
 * an interruption gets what it missed, or is told to read again where that is too much or too long ago.
 */
export class LiveHub {
  private readonly listeners = new Set<Listener>();
  private readonly timers: NodeJS.Timeout[] = [];
  private tellTimer: NodeJS.Timeout | undefined;
  private stopListening: (() => Promise<void>) | undefined;
  private looking: Promise<void> | undefined;
  private lookAgain = false;
  private news = new Map<string, UnitNews>();
  private progressSaid = { at_ms: 0, text: '', settled: false };

  constructor(private readonly parts: LiveParts) {}

  start(): void {
    this.stopListening = this.parts.notifications.listen(() => this.look());
    this.every(lookAnyway_ms, () => this.look());
    this.every(alive_ms, () => this.tell({ type: 'alive', data: {} }, () => true));
    this.every(watch_ms, () => this.watch());
    this.every(progressLoading_ms, () => this.sayProgress());
  }

  async stop(): Promise<void> {
    this.timers.forEach(clearInterval);
    clearTimeout(this.tellTimer);
    for (const { end } of this.listeners) end();
    await this.stopListening?.();
    await this.looking;
  }

  /** The round has changed: every process looks, this one too. */
  roundChanged(): void {
    this.tellTimer ??= setTimeout(() => {
      this.tellTimer = undefined;
      // A lost notice costs freshness only: each process also looks by itself.
      this.parts.notifications.send({ round: true }).catch(() => {});
    }, tellOthers_ms).unref();
  }

  /** `end` is called when there will be no more events. Returns how to stop listening. */
  listen({ unit, since }: Listening, hear: (event: LiveEvent) => void, end: () => void): () => void {
    const listener: Listener = { unit, known: null, hear, end };
    this.listeners.add(listener);
    // The reader connects again by itself and then says what it knows.
    this.greet(listener, since).catch(() => end());
    return () => this.listeners.delete(listener);
  }

  private every(interval_ms: number, work: () => Promise<void> | void): void {
    this.timers.push(
      setInterval(() => {
        if (this.listeners.size > 0) void Promise.resolve(work()).catch(() => {});
      }, interval_ms).unref(),
    );
  }

  /** Tells a new reader where the round stands, and what it missed since it was last here. */
  private async greet(listener: Listener, since: number | undefined): Promise<void> {
    const { version } = await this.parts.attention.state();
    listener.hear(
      since === undefined || since === version
        ? { type: 'connected', data: { version }, id: String(version) }
        : await this.eventSince(since, version),
    );
    listener.known = version;
    await this.look();
  }

  private look(): Promise<void> {
    if (this.looking !== undefined) this.lookAgain = true;
    this.looking ??= this.readChanges()
      .catch(() => {})
      .finally(() => {
        this.looking = undefined;
        if (this.lookAgain) {
          this.lookAgain = false;
          void this.look();
        }
      });
    return this.looking;
  }

  private async readChanges(): Promise<void> {
    if (this.listeners.size === 0) return;
    const { version } = await this.parts.attention.state();
    const behind = [...this.listeners].filter(({ known }) => known !== null && known < version);
    const events = new Map<number, LiveEvent>();
    for (const since of new Set(behind.map(({ known }) => known!)))
      events.set(since, await this.eventSince(since, version));
    for (const listener of behind) {
      listener.hear(events.get(listener.known!)!);
      listener.known = version;
    }
  }

  private async eventSince(since: number, version: number): Promise<LiveEvent> {
    const { changes, next, readAgain } =
      version - since > mostUnits
        ? { changes: [], next: version, readAgain: true }
        : await this.parts.numbered.since(since, mostUnits);
    const id = String(next);
    return readAgain
      ? { type: 'read-again', data: { version: next }, id }
      : {
          type: 'round-changed',
          data: { version: next, units: [...new Set(changes.map(({ unit }) => unit))] },
          id,
        };
  }

  /** Looks at the units that open pages show, and only at them. */
  private async watch(): Promise<void> {
    const watched = [...new Set([...this.listeners].flatMap(({ unit }) => unit ?? []))];
    const before = this.news;
    this.news = new Map();
    if (watched.length === 0) return;
    for (const found of await this.parts.latest.news(watched)) {
      this.news.set(found.unit, found);
      const known = before.get(found.unit);
      if (known === undefined) continue;
      const tell = (event: LiveEvent) => this.tell(event, ({ unit }) => unit === found.unit);
      for (const { circuit, time_s } of found.circuits)
        if (time_s !== known.circuits.find((entry) => entry.circuit === circuit)?.time_s)
          tell({ type: 'reading', data: { unit: found.unit, circuit, time_s } });
      if (found.judgedAt_s !== known.judgedAt_s) tell({ type: 'unit-changed', data: { unit: found.unit } });
    }
  }

  private async sayProgress(): Promise<void> {
    const said = this.progressSaid;
    if (said.settled && Date.now() - said.at_ms < progressSettled_ms) return;
    const progress = await this.parts.progress();
    const text = JSON.stringify(progress);
    this.progressSaid = { at_ms: Date.now(), text, settled: progress.settled };
    if (text !== said.text) this.tell({ type: 'progress', data: progress }, () => true);
  }

  private tell(event: LiveEvent, whom: (listener: Listener) => boolean): void {
    for (const listener of this.listeners) if (whom(listener)) listener.hear(event);
  }
}
