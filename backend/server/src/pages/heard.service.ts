import { decodeSenml, parseTopic } from '@coldrounds/core/telemetry';
import type { Identity } from '../people/identity.js';
import { mostNodes, quantitiesOf, viewOfNode } from '../registry/sparkplug/node-view.js';
import type { HeardRepository, HeardTopic, WaitingMessage } from '../storage/ingest/heard.repository.js';
import type { SparkplugRepository } from '../storage/registry/sparkplug.repository.js';

const shownMetrics = 40;

/** Topics that are listed, and messages of each that are looked into. */
const mostTopics = 2_000;
const lookedInto = 20;
/** Topics asked for in one statement: their messages are held in memory meanwhile. */
const atOnce = 100;

/** Units with their topics in sets of about so many topics. */
function inSets(units: readonly HeardTopic[][]): HeardTopic[][][] {
  const sets: HeardTopic[][][] = [];
  let topics = atOnce;
  for (const unit of units) {
    if (topics >= atOnce) {
      sets.push([]);
      topics = 0;
    }
    sets[sets.length - 1].push(unit);
    topics += unit.length;
  }
  return sets;
}

export interface HeardName {
  name: string;
  unit: string | null;
  low: number | null;
  high: number | null;
}

/** What is heard from senders that the registry does not know: by unit, with what each topic carries and how often. */
export class HeardService {
  constructor(
    private readonly repository: HeardRepository,
    private readonly sparkplug: SparkplugRepository,
  ) {}

  async list({ sites }: Identity) {
    const topics = await this.repository.topics(sites, mostTopics);
    const units = new Map<string, HeardTopic[]>();
    for (const topic of topics) {
      const name = `${topic.site}/${topic.unit}`;
      units.set(name, [...(units.get(name) ?? []), topic]);
    }
    const heard: Awaited<ReturnType<HeardService['unit']>>[] = [];
    for (const some of inSets([...units.values()])) heard.push(...(await this.unitsOf(some)));
    return {
      units: heard,
      complete: topics.length < mostTopics,
      sparkplug: await this.edgeNodes(sites),
    };
  }

  /** What belongs to no unit belongs to no site, so people who are limited to some sites do not see it. */
  private async edgeNodes(sites: Identity['sites']) {
    if (sites !== null) return [];
    const nodes = await this.sparkplug.nodes(mostNodes, true);
    const hasDevice = new Set(
      nodes.flatMap(({ group, edge, device }) => (device ? [`${group}/${edge}`] : [])),
    );
    return nodes.flatMap((node) => {
      const view = viewOfNode(node);
      // A gateway that only has devices announces nothing of its own.
      if (node.device === '' && view.metricCount === 0 && hasDevice.has(`${node.group}/${node.edge}`))
        return [];
      const metrics = quantitiesOf(node.metrics ?? []).slice(0, shownMetrics);
      return [{ ...view, metrics: metrics.map(({ name, unit }) => ({ name, unit })) }];
    });
  }

  /** What the newest messages of several units carry, asked for at once. */
  private async unitsOf(units: readonly HeardTopic[][]) {
    const names = units.flat().map(({ topic }) => topic);
    const newest = new Map<string, WaitingMessage[]>(names.map((name) => [name, []]));
    for (const message of await this.repository.newest(names, lookedInto))
      newest.get(message.topic)?.push(message);
    return units.map((own) => this.unit(own, newest));
  }

  private unit(topics: HeardTopic[], newest: ReadonlyMap<string, WaitingMessage[]>) {
    const [{ site, unit, siteKnown, unitKnown, retired }] = topics;
    const carried = topics.map((topic) => this.topic(topic, newest.get(topic.topic) ?? []));
    const sum = (of: (topic: HeardTopic) => number) => topics.reduce((all, topic) => all + of(topic), 0);
    const numbers = (stream: string) =>
      [...new Set(carried.flatMap((topic) => (topic.stream === stream ? [topic.number ?? 0] : [])))].sort(
        (a, b) => a - b,
      );
    const names = carried.flatMap((topic) => topic.names.map(({ name }) => `${topic.stream} ${name}`));
    return {
      ...{ site, unit, siteKnown, retired, unitKnown, topics: carried },
      messages: sum(({ messages }) => messages),
      kept: sum(({ kept }) => kept),
      firstAt: earliest(topics.map(({ firstAt }) => firstAt)),
      lastAt: latest(topics.map(({ lastAt }) => lastAt)),
      told: {
        circuits: numbers('circuits'),
        modules: [...new Set([...numbers('backup'), ...numbers('closing')])].sort((a, b) => a - b),
        tandemCircuits: carried
          .filter((topic) => topic.names.some(({ name }) => name === 'valve-opening-2'))
          .map((topic) => topic.number ?? 0),
        // Only air is moved by fans; nothing tells water-cooling as surely.
        airCooled: names.includes('condenser fan-speed'),
        // No absolute pressure is negative.
        gauge: carried.some((topic) =>
          topic.names.some(({ name, low }) => name.endsWith('-pressure') && low !== null && low < 0),
        ),
      },
    };
  }

  private topic({ topic, messages, firstAt, lastAt }: HeardTopic, newest: readonly WaitingMessage[]) {
    const address = parseTopic(topic)!;
    const span_s = (lastAt.getTime() - firstAt.getTime()) / 1000;
    return {
      topic,
      stream: address.stream,
      number: address.number,
      messages,
      // Of a single message no rate is known.
      perMinute: messages > 1 && span_s > 0 ? ((messages - 1) / span_s) * 60 : null,
      names: namesIn(
        newest.map(({ payload, receivedAt }) => ({ payload, at_s: receivedAt.getTime() / 1000 })),
      ),
    };
  }
}

/** What the packs carry: each name with its unit and the lowest and highest value; nothing of a pack that cannot be read. */
export function namesIn(packs: readonly { payload: Buffer; at_s: number }[]): HeardName[] {
  const found = new Map<string, HeardName>();
  for (const { payload, at_s } of packs) {
    let records;
    try {
      records = decodeSenml(JSON.parse(payload.toString('utf8')), at_s);
    } catch {
      continue;
    }
    for (const { name, unit, value } of records) {
      const known = found.get(name) ?? { name, unit, low: null, high: null };
      if (typeof value === 'number') {
        known.low = Math.min(known.low ?? value, value);
        known.high = Math.max(known.high ?? value, value);
      }
      found.set(name, known);
    }
  }
  return [...found.values()].slice(0, 50);
}

const earliest = (times: Date[]) => new Date(Math.min(...times.map(Number))).toISOString();
const latest = (times: Date[]) => new Date(Math.max(...times.map(Number))).toISOString();
