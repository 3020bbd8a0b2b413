import {
  EdgeNode,
  parseSparkplugTopic,
  readPoints,
  type EdgeNodeAddress,
  type EdgeNodeLimits,
  type EdgeNodeOutcome,
  type SparkplugAddress,
} from '@coldrounds/core/sparkplug';
import type { Rejection } from '@coldrounds/core/telemetry';
import type { PresenceRow, SparkplugHeardRow, UnreadRow } from '../../storage/incoming/ingest-batch.js';
import type { HeldMessage } from '../receiving/acknowledging-client.js';
import { partsOf, type MessageParts, type ReadLimits } from '../read-message.js';
import type { UnitDirectory } from '../unit-directory.js';
import { unreadRow } from '../unread-row.js';
import { batchOf } from '../waiting-reader.js';
import { decodeSparkplug, SparkplugPayloadError } from './payload-codec.js';
import { keyOf, RebirthRequests } from './rebirth-requests.js';
import type { SparkplugDirectory, SparkplugUnit } from './sparkplug-directory.js';

type Outcome = EdgeNodeOutcome<HeldMessage>;

/** What a message says by the births that were known when it came; found once, as that moment passes. */
interface Understood {
  address: SparkplugAddress;
  outcome: Omit<Outcome, 'tag'>;
  rebirths: number;
}

export interface SparkplugReaderParts {
  /** Publishes the request for an edge node's births. */
  requestRebirth: (node: EdgeNodeAddress) => void;
  say: (line: string) => void;
  limits?: EdgeNodeLimits;
}

/** Edge nodes whose state is kept; one over this takes the place of the one that was heard longest ago. */
const mostNodes = 20_000;

export const isSparkplug = ({ topic }: { topic: string }): boolean => topic.startsWith('spBv1.0/');

/**
 * Sparkplug messages, in two steps. `take` has each message understood once, in the order in which they came: births,
 * aliases and sequence numbers. `read` makes of it what is to be stored, by the registry as it is, as often as it takes.
 */
export class SparkplugReader {
  private readonly nodes = new Map<string, EdgeNode<HeldMessage>>();
  private readonly understood = new WeakMap<HeldMessage, Understood>();
  private readonly requests: RebirthRequests;
  /** Edge nodes of which messages are held back. */
  private readonly waiting = new Set<string>();
  private readonly unnoted = new Map<string, number>();
  /** Why births are still to be asked for, where the rate did not let it yet. */
  private readonly wanted = new Map<string, string>();
  private connection_ms = 0;
  private points: SparkplugDirectory | null = null;

  constructor(private readonly parts: SparkplugReaderParts) {
    this.requests = new RebirthRequests((node) => parts.requestRebirth(node));
  }

  /** Messages that can be read now: this one, others that waited for it, or none while it waits itself. */
  take(message: HeldMessage, maximumPayload: number): HeldMessage[] {
    if (this.understood.has(message)) return [message];
    const dropped = this.connectedAnew(message.connectedAt_ms);
    return [...dropped, ...this.takeOne(message, maximumPayload)];
  }

  /** When `expire` has something to do; null: nothing waits. */
  get dueAt_ms(): number | null {
    const due = [...this.waiting].flatMap((key) => this.nodes.get(key)?.dueAt_ms ?? []);
    return due.length === 0 ? null : Math.min(...due);
  }

  /** Messages that have waited long enough. */
  expire(now_ms: number): HeldMessage[] {
    const ready: HeldMessage[] = [];
    for (const key of [...this.waiting]) {
      const address = addressOf(key);
      const node = this.nodes.get(key)!;
      const { outcomes, rebirth } = node.expire(now_ms);
      this.noteWaiting(key, node);
      ready.push(...this.keep(address, outcomes));
      if (rebirth !== null) this.ask(address, rebirth, now_ms);
    }
    return ready;
  }

  /** The registry was changed: asks for the births of edge nodes of which it takes other metrics now. */
  async lookAgain(directory: UnitDirectory, now_ms: number): Promise<void> {
    this.compare(await directory.sparkplug(), now_ms);
  }

  async read(message: HeldMessage, directory: UnitDirectory, limits: ReadLimits): Promise<MessageParts> {
    const known = this.understood.get(message)!;
    const points = await directory.sparkplug();
    this.compare(points, message.receivedAt_ms);
    const { address, outcome } = known;
    const units = points.unitsOf(address);
    const { parts, rejection } = readPoints(outcome.values, (value) => points.targetsOf(address, value), {
      now_s: message.receivedAt_ms / 1000,
      futureTolerance_s: limits.futureTolerance_s,
      oldest_s: limits.oldest_s,
    });
    return batchOf([
      ...parts.map(({ stream, subject, rows }) =>
        partsOf(stream, subject, rows, directory, message.receivedAt_ms),
      ),
      {
        sparkplugHeard: heardOf(known, message),
        unread: unreadOf(message, outcome.rejection ?? rejection, units),
        presences: this.presencesOf(outcome.event, units ?? [], message.receivedAt_ms),
      },
    ]);
  }

  private presencesOf(
    event: Outcome['event'],
    units: readonly SparkplugUnit[],
    receivedAt_ms: number,
  ): PresenceRow[] {
    if (event !== 'birth' && event !== 'death') return [];
    return units.map(({ unitId, sources }) => ({
      unitId,
      online: sources.some((source) => this.nodes.get(keyOf(source))?.isAlive(source.device) ?? false),
      // Ours: the clock of a node that is ahead must not outlast its death.
      since_ms: receivedAt_ms,
    }));
  }

  private takeOne(message: HeldMessage, maximumPayload: number): HeldMessage[] {
    const address = parseSparkplugTopic(message.topic);
    if (address === null)
      return this.refuse(message, nowhere, {
        reason: 'unknown-topic',
        detail: 'The topic is none of Sparkplug B, or its identifiers are over 200 characters long.',
      });
    let payload;
    try {
      if (message.payload.length > maximumPayload)
        throw new SparkplugPayloadError(
          'too-large',
          `The payload has ${message.payload.length} bytes; the limit is ${maximumPayload}.`,
        );
      payload = decodeSparkplug(message.payload);
    } catch (error) {
      if (!(error instanceof SparkplugPayloadError)) throw error;
      return this.refuse(message, address, { reason: error.reason, detail: error.message });
    }
    const { receivedAt_ms } = message;
    const node = this.nodeOf(address);
    const { outcomes, rebirth } = node.accept({ address, payload, receivedAt_ms, tag: message });
    this.noteWaiting(keyOf(address), node);
    if (address.type === 'NBIRTH') this.answered(address);
    const ready = [...this.withinRoom(), ...this.keep(address, outcomes)];
    const why = rebirth ?? this.wanted.get(keyOf(address));
    if (why !== undefined) this.ask(address, why, receivedAt_ms);
    return ready;
  }

  private answered(address: EdgeNodeAddress): void {
    this.requests.answered(address);
    this.wanted.delete(keyOf(address));
  }

  /** What was heard over another connection counts for nothing: messages of QoS 0 that came in between are lost. */
  private connectedAnew(connectedAt_ms: number): HeldMessage[] {
    if (connectedAt_ms <= this.connection_ms) return [];
    this.connection_ms = connectedAt_ms;
    return [...this.nodes.keys()].flatMap((key) => this.forget(key));
  }

  private nodeOf(address: EdgeNodeAddress): EdgeNode<HeldMessage> {
    const key = keyOf(address);
    let node = this.nodes.get(key);
    if (node === undefined) node = new EdgeNode(this.parts.limits);
    else this.nodes.delete(key);
    this.nodes.set(key, node);
    return node;
  }

  private withinRoom(): HeldMessage[] {
    return this.nodes.size > mostNodes ? this.forget(this.nodes.keys().next().value!) : [];
  }

  /** Gives what was held back of an edge node that is not known any more. */
  private forget(key: string): HeldMessage[] {
    const dropped = this.keep(addressOf(key), this.nodes.get(key)!.forget());
    this.nodes.delete(key);
    this.waiting.delete(key);
    this.wanted.delete(key);
    this.unnoted.delete(key);
    return dropped;
  }

  private noteWaiting(key: string, { dueAt_ms }: EdgeNode<HeldMessage>): void {
    if (dueAt_ms === null) this.waiting.delete(key);
    else this.waiting.add(key);
  }

  private keep(node: EdgeNodeAddress, outcomes: readonly Outcome[]): HeldMessage[] {
    return outcomes.map(({ tag, ...outcome }) => {
      const key = keyOf(node);
      const rebirths = this.unnoted.get(key) ?? 0;
      this.unnoted.delete(key);
      this.understood.set(tag, { address: parseSparkplugTopic(tag.topic)!, outcome, rebirths });
      return tag;
    });
  }

  private refuse(
    message: HeldMessage,
    address: SparkplugAddress,
    rejection: Pick<Rejection, 'reason' | 'detail'>,
  ): HeldMessage[] {
    const outcome = { device: address.device, event: 'none' as const, values: [], born: null, rejection };
    this.understood.set(message, { address, outcome, rebirths: 0 });
    return [message];
  }

  private ask(node: EdgeNodeAddress, why: string, now_ms: number): void {
    const key = keyOf(node);
    if (!this.requests.ask(node, now_ms)) return void this.wanted.set(key, why);
    this.wanted.delete(key);
    this.unnoted.set(key, (this.unnoted.get(key) ?? 0) + 1);
    this.parts.say(`Sparkplug: ${key} is asked for its births: ${why}.`);
  }

  /** Where the registry takes other metrics of an edge node, its births tell the values that do not change. */
  private compare(points: SparkplugDirectory, now_ms: number): void {
    const before = this.points;
    if (points === before) return;
    this.points = points;
    if (before === null) return;
    const told = before.signatures();
    for (const [key, signature] of points.signatures())
      if (told.get(key) !== signature && this.nodes.has(key))
        this.ask(addressOf(key), 'the registry takes other metrics of it', now_ms);
  }
}

/** What nobody has registered is listed as heard; only what a unit should get is kept as unread. */
function unreadOf(
  message: HeldMessage,
  rejection: Pick<Rejection, 'reason' | 'detail'> | null,
  units: readonly SparkplugUnit[] | null,
): UnreadRow[] {
  if (rejection === null) return [];
  const always = /^(unknown-topic|not-sparkplug|too-large)$/.test(rejection.reason);
  if (units === null) return always ? [unreadRow(message, rejection)] : [];
  return [{ ...unreadRow(message, rejection), source: units[0].name }];
}

const nowhere: SparkplugAddress = { group: '', edge: '', device: '', type: 'NDATA' };

const addressOf = (key: string): EdgeNodeAddress => {
  const [group, edge] = key.split('/');
  return { group, edge };
};

const heardOf = (
  { address, outcome, rebirths }: Understood,
  { receivedAt_ms }: HeldMessage,
): SparkplugHeardRow[] =>
  address.group === ''
    ? []
    : [
        {
          ...{ group: address.group, edge: address.edge, device: address.device },
          ...{ at_ms: receivedAt_ms, event: outcome.event, born: outcome.born, rebirths },
        },
      ];
