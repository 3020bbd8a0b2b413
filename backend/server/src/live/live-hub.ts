import type { NotificationRepository } from '../storage/repositories/notification.repository.js';
import type { Progress } from './progress.service.js';

/** Server-sent events, as they happen. */
export interface LiveEvent {
  type: 'round-changed' | 'progress' | 'reading';
  data: object;
}

export interface ReadingEvent {
  unit: string;
  circuit: number;
  time_s: number;
}

interface Message {
  units?: string[];
  readings?: ReadingEvent[];
}

const flush_ms = 1_000;
const progress_ms = 2_000;
/** A notification holds 8,000 bytes; a crowd of readings is cut rather than refused. */
const mostReadings = 60;

/**
 * What changed, gathered for a second and told to every process; each process hands it on to those who listen over
 * HTTP. Progress is worked out only while someone listens.
 */
export class LiveHub {
  private readonly listeners = new Map<(event: LiveEvent) => void, () => void>();
  private readonly units = new Set<string>();
  private readonly readings = new Map<string, ReadingEvent>();
  private flushTimer: NodeJS.Timeout | undefined;
  private progressTimer: NodeJS.Timeout | undefined;
  private stopListening: (() => Promise<void>) | undefined;

  constructor(
    private readonly notifications: NotificationRepository,
    private readonly progress: () => Promise<Progress>,
  ) {}

  start(): void {
    this.stopListening = this.notifications.listen((message) => this.hear(message as Message));
    this.progressTimer = setInterval(() => {
      if (this.listeners.size === 0) return;
      this.progress().then(
        (data) => this.tell({ type: 'progress', data }),
        () => {},
      );
    }, progress_ms);
    this.progressTimer.unref();
  }

  async stop(): Promise<void> {
    clearInterval(this.progressTimer);
    clearTimeout(this.flushTimer);
    for (const end of this.listeners.values()) end();
    await this.stopListening?.();
  }

  roundChanged(unit: string): void {
    this.units.add(unit);
    this.scheduleFlush();
  }

  reading(event: ReadingEvent): void {
    this.readings.set(`${event.unit}/${event.circuit}`, event);
    this.scheduleFlush();
  }

  /** `end` is called when there will be no more events. Returns how to stop listening. */
  listen(listener: (event: LiveEvent) => void, end: () => void): () => void {
    this.listeners.set(listener, end);
    return () => this.listeners.delete(listener);
  }

  private scheduleFlush(): void {
    this.flushTimer ??= setTimeout(() => {
      this.flushTimer = undefined;
      const message: Message = {
        units: [...this.units].slice(0, mostReadings),
        readings: [...this.readings.values()].slice(0, mostReadings),
      };
      this.units.clear();
      this.readings.clear();
      // A lost notice costs freshness only: pages ask again by themselves.
      this.notifications.send(message).catch(() => {});
    }, flush_ms).unref();
  }

  private hear(message: Message): void {
    if (message.units?.length) this.tell({ type: 'round-changed', data: { units: message.units } });
    for (const reading of message.readings ?? []) this.tell({ type: 'reading', data: reading });
  }

  private tell(event: LiveEvent): void {
    for (const listener of this.listeners.keys()) listener(event);
  }
}
