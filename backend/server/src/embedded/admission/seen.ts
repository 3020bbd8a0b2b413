import { readSeen, writeSeen, type Refusals, type Seen } from '../../gateways/handing-over/embedded-files.js';
import type { RefusalReason } from '../../storage/gateways/refusal-reasons.js';

/** What is refused to whom. */
export interface Refused {
  reason: RefusalReason;
  /** User of the gateway whose key it is, or that was named; null: nobody who is known. */
  gateway: string | null;
  /** The topic where one was refused. */
  topic?: string;
  address: string;
}

export interface SeenLogOptions {
  /** Folder of the report; null: nothing is written. */
  folder: string | null;
  say: (line: string) => void;
  now_ms?: () => number;
}

const writeEvery_ms = 1_000;
/** The same is not said more often; what comes meanwhile is counted. */
const sayEvery_ms = 60_000;
/** Lines a minute in all, as somebody may come from ever new addresses. */
const mostLines = 60;
const longestDetail = 300;

/** When gateways were let in and what was refused: a line at once, totals in a file for the server. */
export class SeenLog {
  private dirty = false;
  private writing: Promise<void> = Promise.resolve();
  private readonly timer: NodeJS.Timeout;
  /** What was said in this minute, with how often it came again since. */
  private said = new Map<string, number>();
  private before = new Map<string, number>();
  private minute_ms = -Infinity;
  private readonly now_ms: () => number;

  private constructor(
    private readonly options: SeenLogOptions,
    private readonly seen: Seen,
  ) {
    this.now_ms = options.now_ms ?? Date.now;
    this.timer = setInterval(() => this.write(), writeEvery_ms).unref();
  }

  /** Goes on with the totals of the run before. */
  static async open(options: SeenLogOptions): Promise<SeenLog> {
    const seen = options.folder === null ? { gateways: {}, strangers: {} } : await readSeen(options.folder);
    return new SeenLog(options, seen);
  }

  letIn(gateway: string): void {
    this.of(gateway).connectedAt = new Date(this.now_ms()).toISOString();
    this.dirty = true;
  }

  refused(refused: Refused): void {
    const { reason, gateway, topic, address } = refused;
    const refusals = gateway === null ? this.seen.strangers : this.of(gateway).refusals;
    refusals[reason] = {
      count: (refusals[reason]?.count ?? 0) + 1,
      lastAt: new Date(this.now_ms()).toISOString(),
      detail: (topic ?? address).slice(0, longestDetail),
    };
    this.dirty = true;
    this.say(refused);
  }

  totals(): Readonly<Seen> {
    return this.seen;
  }

  async close(): Promise<void> {
    clearInterval(this.timer);
    this.write();
    await this.writing;
  }

  private of(gateway: string): { connectedAt: string | null; refusals: Refusals } {
    return (this.seen.gateways[gateway] ??= { connectedAt: null, refusals: {} });
  }

  private write(): void {
    const { folder } = this.options;
    if (!this.dirty || folder === null) return;
    this.dirty = false;
    this.writing = this.writing
      .then(() => writeSeen(folder, this.seen))
      .then(
        () => {},
        (error: unknown) => {
          this.dirty = true;
          this.options.say(`what was refused cannot be written to ${folder}: ${String(error)}`);
        },
      );
  }

  private say(refused: Refused): void {
    const key = `${refused.reason} ${refused.gateway ?? refused.address}`;
    if (this.now_ms() - this.minute_ms >= sayEvery_ms) {
      this.minute_ms = this.now_ms();
      this.before = this.said;
      this.said = new Map();
    }
    const again = this.said.get(key);
    if (again !== undefined) this.said.set(key, again + 1);
    else if (this.said.size < mostLines) {
      const unsaid = this.before.get(key) ?? 0;
      this.said.set(key, 0);
      this.options.say(refusalLine(refused) + (unsaid === 0 ? '' : ` (${unsaid} times more before)`));
    }
  }
}

/** Control characters would let a topic write lines of its own into the log. */
const oneLine = (text: string) => text.replaceAll(/[\p{Cc}\p{Zl}\p{Zp}]/gu, '?').slice(0, longestDetail);

/** What was refused, in a sentence that says what to do. */
export function refusalLine({ reason, gateway, topic, address }: Refused): string {
  const who = gateway === null ? `a client at ${address}` : `the gateway ${gateway} at ${address}`;
  switch (reason) {
    case 'mqtt-5':
      return `${who} asked for MQTT 5, which the embedded broker does not speak: set it to 3.1.1, also called version 4, or use Mosquitto`;
    case 'other-site':
      return `${who} published on ${oneLine(topic ?? '')}, which its key does not open: correct the site in its topics; the message is not taken`;
    case 'reading':
      return `${who} asked to read ${oneLine(topic ?? '')}, which its key does not open`;
    case 'wrong-password':
      return `${who} gave a wrong password: type it again, or make a new key`;
    case 'revoked':
      return `${who} uses a key that was revoked`;
    case 'unknown-user':
      return `${who} gave a user that there is no key for`;
    case 'no-key':
      return `${who} gave no user and password: make a key on the page of its site’s gateways`;
  }
}
