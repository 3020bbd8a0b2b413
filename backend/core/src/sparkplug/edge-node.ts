import { dataTypeName, numberOf } from './metric-value.js';
import type { PayloadMetric, SparkplugPayload } from './payload.js';
import type { SparkplugAddress } from './topic.js';
import type { UnreadReason } from '../telemetry/index.js';

/** One value of a message, with the name and data type that its birth gave it. */
export interface SparkplugValue {
  device: string;
  name: string;
  time_ms: number;
  /** Null: the sender says that there is none, or that it is not good; undefined: it is not a number. */
  value: number | null | undefined;
  type: string;
}

/** A metric as its birth announces it. */
export interface BornMetric {
  name: string;
  type: string;
  unit: string | null;
  value: number | string | null;
}

export interface EdgeNodeMessage<Tag> {
  address: SparkplugAddress;
  payload: SparkplugPayload;
  receivedAt_ms: number;
  /** The caller's own mark of the message. */
  tag: Tag;
}

export interface EdgeNodeOutcome<Tag> {
  tag: Tag;
  device: string;
  event: 'birth' | 'death' | 'data' | 'none';
  values: SparkplugValue[];
  /** Of a birth: all that will come. */
  born: BornMetric[] | null;
  rejection: { reason: UnreadReason; detail: string } | null;
}

export interface EdgeNodeLimits {
  /** How long a missing message is waited for before a rebirth is requested ("reorder timeout"). */
  reorder_ms: number;
  /** How long the answer to that is waited for before what came after the gap is read by the births known. */
  patience_ms: number;
  /** Messages held back meanwhile. */
  held: number;
}
export const defaultEdgeNodeLimits: EdgeNodeLimits = { reorder_ms: 2_000, patience_ms: 12_000, held: 500 };

interface Definition {
  name: string;
  datatype: number | null;
}

/** What one birth defined: by alias and by name. */
class Birth {
  readonly byName = new Map<string, Definition>();
  readonly byAlias = new Map<number | string, Definition>();

  constructor(metrics: readonly PayloadMetric[]) {
    for (const { name, alias, datatype } of metrics) {
      if (name === null) continue;
      const definition = { name, datatype };
      this.byName.set(name, definition);
      if (alias !== null) this.byAlias.set(alias, definition);
    }
  }

  find({ name, alias }: PayloadMetric): Definition | undefined {
    const known = alias === null ? undefined : this.byAlias.get(alias);
    return known ?? (name === null ? undefined : this.byName.get(name));
  }
}

interface Step<Tag> {
  outcomes: EdgeNodeOutcome<Tag>[];
  /** Why the births of the node have to be asked for; null: they need not. */
  rebirth: string | null;
}

/** Sequence numbers count from 0 to 255 and begin again (tck-id-payloads-sequence-num-incrementing). */
const wrap = 256;
const longestText = 60;

/**
 * One edge node as a reader of its messages knows it: which births it announced, whether it is alive, and at which number
 * its messages are. Messages come in through `accept` and out with the names and types of their births, in order.
 *
 * A message that comes out of turn is held back for the missing one. Where that does not come, a birth may have been lost
 * with it, and an alias may mean something else: the births are asked for again, and what was held stays unread once
 * they come, as they carry all current values. A node that does not answer is read on by the births known.
 */
export class EdgeNode<Tag> {
  private births = new Map<string, Birth>();
  private expected: number | null = null;
  private session: number | null = null;
  private bornAt_ms: number | null = null;
  private last_ms = -Infinity;
  private held: EdgeNodeMessage<Tag>[] = [];
  private gapSince_ms: number | null = null;
  private asked = false;
  /** Gaps that were not closed by the missing message. */
  gaps = 0;

  constructor(private readonly limits: EdgeNodeLimits = defaultEdgeNodeLimits) {}

  /** Whether the node ('') or one of its devices has announced itself and is not dead. */
  isAlive(device = ''): boolean {
    return this.births.has('') && this.births.has(device);
  }

  /** When `expire` has something to do; null: nothing is waited for. */
  get dueAt_ms(): number | null {
    if (this.gapSince_ms === null) return null;
    return this.gapSince_ms + (this.asked ? this.limits.patience_ms : this.limits.reorder_ms);
  }

  accept(message: EdgeNodeMessage<Tag>): Step<Tag> {
    const { address, payload } = message;
    if (address.type === 'NBIRTH') return this.nodeBirth(message);
    if (address.type === 'NDEATH') return this.nodeDeath(message);
    if (!this.births.has(''))
      return {
        outcomes: [rejected(message, 'before-birth', 'The edge node has not announced its metrics yet.')],
        rebirth: 'its birth is not known',
      };
    const seq = payload.seq === null ? null : payload.seq % wrap;
    if (seq === null || this.expected === null) return this.inTurn(message);
    if (this.isRepeat(message, seq)) return this.repeated(message);
    if (seq !== this.expected) return this.hold(message);
    const step = this.inTurn(message);
    this.expected = (seq + 1) % wrap;
    return this.drained(step);
  }

  /** Time has passed: asks for births that a gap makes doubtful, or gives up waiting for them. */
  expire(now_ms: number): Step<Tag> {
    const due_ms = this.dueAt_ms;
    if (due_ms === null || now_ms < due_ms) return { outcomes: [], rebirth: null };
    if (!this.asked) {
      this.asked = true;
      this.gaps += 1;
      return { outcomes: [], rebirth: 'a message of it is missing' };
    }
    return this.readOn();
  }

  /** The connection was lost and nothing is known any more: gives what was held back as unread. */
  forget(): EdgeNodeOutcome<Tag>[] {
    const outcomes = this.dropHeld();
    this.births.clear();
    this.expected = null;
    return outcomes;
  }

  private nodeBirth(message: EdgeNodeMessage<Tag>): Step<Tag> {
    const { payload } = message;
    const session = sessionOf(payload);
    const again =
      this.births.has('') &&
      payload.time_ms !== null &&
      payload.time_ms === this.bornAt_ms &&
      session === this.session;
    if (again) return { outcomes: [this.read(message, 'none')], rebirth: null };
    const outcomes = this.dropHeld();
    this.births = new Map([['', new Birth(payload.metrics)]]);
    this.session = session;
    this.bornAt_ms = payload.time_ms;
    this.expected = payload.seq === null ? null : (payload.seq + 1) % wrap;
    this.last_ms = payload.time_ms ?? -Infinity;
    return { outcomes: [...outcomes, this.read(message, 'birth')], rebirth: null };
  }

  /**
   * A death is that of the birth with the same number; the will of an earlier connection may come after the birth of the
   * next (tck-id-payloads-ndeath-bdseq).
   */
  private nodeDeath(message: EdgeNodeMessage<Tag>): Step<Tag> {
    const session = sessionOf(message.payload);
    if (this.births.has('') && session !== null && this.session !== null && session !== this.session)
      return { outcomes: [nothing(message, 'none')], rebirth: null };
    const outcomes = [...this.dropHeld(), nothing(message, 'death')];
    this.births.clear();
    this.expected = null;
    return { outcomes, rebirth: null };
  }

  /** A message whose turn it is. */
  private inTurn(message: EdgeNodeMessage<Tag>): Step<Tag> {
    const { type, device } = message.address;
    this.last_ms = Math.max(this.last_ms, message.payload.time_ms ?? -Infinity);
    if (type === 'DBIRTH') {
      this.births.set(device, new Birth(message.payload.metrics));
      return { outcomes: [this.read(message, 'birth')], rebirth: null };
    }
    if (type === 'DDEATH') {
      this.births.delete(device);
      return { outcomes: [nothing(message, 'death')], rebirth: null };
    }
    if (!this.births.has(device))
      return {
        outcomes: [rejected(message, 'before-birth', 'The device has not announced its metrics yet.')],
        rebirth: 'the birth of a device is not known',
      };
    const outcome = this.read(message, 'data');
    const unknown = outcome.rejection?.reason === 'unknown-name';
    return { outcomes: [outcome], rebirth: unknown ? 'it sends a metric that no birth announced' : null };
  }

  /** Sent again: its values change nothing, and an old birth or death must not. */
  private repeated(message: EdgeNodeMessage<Tag>): Step<Tag> {
    const { type, device } = message.address;
    const isData = type.endsWith('DATA') && this.births.has(device);
    return { outcomes: [isData ? this.read(message, 'none') : nothing(message, 'none')], rebirth: null };
  }

  private isRepeat({ payload }: EdgeNodeMessage<Tag>, seq: number): boolean {
    const behind = (this.expected! - seq + wrap) % wrap;
    return behind > 0 && behind <= wrap / 2 && payload.time_ms !== null && payload.time_ms <= this.last_ms;
  }

  private hold(message: EdgeNodeMessage<Tag>): Step<Tag> {
    this.gapSince_ms ??= message.receivedAt_ms;
    this.held.push(message);
    return this.held.length > this.limits.held ? this.readOn() : { outcomes: [], rebirth: null };
  }

  /** With a message in its turn those that were held back after it may have theirs. */
  private drained(step: Step<Tag>): Step<Tag> {
    for (;;) {
      const place = this.held.findIndex(({ payload }) => payload.seq! % wrap === this.expected);
      if (place < 0) break;
      const [next] = this.held.splice(place, 1);
      const { outcomes, rebirth } = this.inTurn(next);
      step = { outcomes: [...step.outcomes, ...outcomes], rebirth: step.rebirth ?? rebirth };
      this.expected = (this.expected! + 1) % wrap;
    }
    if (this.held.length === 0) this.closeGap();
    return step;
  }

  /** Nothing else comes: what was held is read by the births known, in its order. */
  private readOn(): Step<Tag> {
    const from = this.expected!;
    const order = ({ payload }: EdgeNodeMessage<Tag>) => (payload.seq! - from + wrap) % wrap;
    const held = this.held.sort((a, b) => order(a) - order(b));
    this.expected = (held[held.length - 1].payload.seq! + 1) % wrap;
    this.held = [];
    this.closeGap();
    const steps = held.map((message) => this.inTurn(message));
    return {
      outcomes: steps.flatMap(({ outcomes }) => outcomes),
      rebirth: steps.find(({ rebirth }) => rebirth !== null)?.rebirth ?? null,
    };
  }

  private dropHeld(): EdgeNodeOutcome<Tag>[] {
    const outcomes = this.held.map((message) =>
      rejected(
        message,
        'sequence-gap',
        'A message before it is missing, and with it perhaps a birth that changes what its aliases mean.',
      ),
    );
    this.held = [];
    this.closeGap();
    return outcomes;
  }

  private closeGap(): void {
    this.gapSince_ms = null;
    this.asked = false;
  }

  /** The values of a message by the birth of its node or device. */
  private read(message: EdgeNodeMessage<Tag>, event: 'birth' | 'data' | 'none'): EdgeNodeOutcome<Tag> {
    const { address, payload, receivedAt_ms } = message;
    const birth = this.births.get(address.device)!;
    const values: SparkplugValue[] = [];
    let unknown = 0;
    for (const metric of payload.metrics) {
      const definition = birth.find(metric);
      if (definition === undefined) unknown += 1;
      else
        values.push({
          device: address.device,
          name: definition.name,
          time_ms: metric.time_ms ?? payload.time_ms ?? receivedAt_ms,
          value: valueOf(metric, definition),
          type: dataTypeName(metric.datatype ?? definition.datatype),
        });
    }
    return {
      ...{ tag: message.tag, device: address.device, event, values },
      born: event === 'birth' ? bornMetrics(payload.metrics) : null,
      rejection:
        unknown === 0
          ? null
          : {
              reason: 'unknown-name',
              detail: `No birth has announced ${unknown === 1 ? 'a metric' : `${unknown} metrics`} of this message.`,
            },
    };
  }
}

/** Good by the property `Quality` (tck-id-payloads-propertyset-quality-value-value: 0 bad, 192 good, 500 stale). */
const isGood = (quality: number | null) => quality === null || quality === 192;

function valueOf(metric: PayloadMetric, { datatype }: Definition): number | null | undefined {
  if (metric.isNull || metric.value === null || !isGood(metric.quality)) return null;
  return numberOf(metric.value, metric.datatype ?? datatype) ?? undefined;
}

function bornMetrics(metrics: readonly PayloadMetric[]): BornMetric[] {
  return metrics.flatMap((metric) => {
    const { name, datatype, unit, value } = metric;
    if (name === null) return [];
    const shown =
      value?.field === 'string'
        ? value.value.slice(0, longestText)
        : (valueOf(metric, { name, datatype }) ?? null);
    return [{ name, type: dataTypeName(datatype), unit, value: shown }];
  });
}

/** `bdSeq`, by which a death is matched with its birth. */
function sessionOf({ metrics }: SparkplugPayload): number | null {
  const metric = metrics.find(({ name }) => name === 'bdSeq');
  // Old senders give it as Int64, new ones as UInt64; both are small.
  return metric?.value ? numberOf(metric.value, 8) : null;
}

const nothing = <Tag>(
  { tag, address }: EdgeNodeMessage<Tag>,
  event: EdgeNodeOutcome<Tag>['event'],
): EdgeNodeOutcome<Tag> => ({
  ...{ tag, device: address.device, event },
  ...{ values: [], born: null, rejection: null },
});

const rejected = <Tag>(
  message: EdgeNodeMessage<Tag>,
  reason: UnreadReason,
  detail: string,
): EdgeNodeOutcome<Tag> => ({ ...nothing(message, 'none'), rejection: { reason, detail } });
