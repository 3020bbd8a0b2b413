import { seededRandom } from '@coldrounds/core';
import type { UMetric, UPayload } from 'sparkplug-payload/lib/sparkplugbpayload.js';
import protobuf from 'protobufjs/minimal.js';
import sparkplugPayload from 'sparkplug-payload';
import { circuitPack } from '../support/publish.js';

export interface FuzzedMessage {
  topic: string;
  payload: Buffer;
}

const root = 'coldrounds/1/harbour/chiller-1';
const published = sparkplugPayload.get('spBv1.0')!;

/** Numbers that readers stumble over. */
const oddNumbers = [
  ...['0', '-0', '1e308', '-1e308', '1e309', '-1e999', '5e-324', '9007199254740993', '18446744073709551616'],
  ...[
    '-1',
    '0.1',
    '1E400',
    '123456789012345678901234567890',
    '268435455',
    '268435456',
    '-268435457',
    '1e15',
    '4e9',
  ],
];
const oddValues = [
  ...[
    'null',
    'true',
    'false',
    '{}',
    '[]',
    '""',
    '"NaN"',
    '[[]]',
    '{"v":1}',
    '"\\u0000"',
    '"\\ud800"',
    '-',
    'NaN',
  ],
  ...['"__proto__"', '{"__proto__":{"v":1}}', '"' + 'x'.repeat(300) + '"'],
];
const oddLabels = [
  '"bn"',
  '"bt"',
  '"bv"',
  '"bs"',
  '"bver"',
  '"bu"',
  '"n"',
  '"u"',
  '"t"',
  '"vb"',
  '"vs"',
  '"vd"',
  '"s"',
  '"ut"',
  '"mind_"',
  '"__proto__"',
  '"constructor"',
  `"${'x'.repeat(2_000)}_"`,
];
const oddUnits = ['"Cel"', '"K"', '"Pa"', '"hPa"', '"%"', '"/"', '"bar"', '""', '"toString"'];

/** Numbers and texts of a pack, and what stands between them. */
const values = /-?\d+(?:\.\d+)?(?:e[+-]?\d+)?|"[^"]*"/gi;
const marks = /[{}[\]:,]/g;
const oddVarints = [
  0,
  1,
  127,
  128,
  255,
  256,
  65535,
  2 ** 31,
  2 ** 32 - 1,
  2 ** 32,
  2 ** 53 - 1,
  2 ** 53,
  2 ** 63,
  1.8e19,
];

/**
 * Payloads as no sender should send them, all drawn from one seed: valid SenML packs and Sparkplug messages of a published
 * encoder, changed by bits and bytes, in their structure, numbers, times and nesting, cut off, doubled and spliced.
 */
export class PayloadFuzz {
  private readonly random: () => number;
  private readonly senml: FuzzedMessage[];
  private readonly sparkplug: FuzzedMessage[];
  private readonly now_s: number;

  constructor(seed: number, now_s: number) {
    this.random = seededRandom(seed);
    this.now_s = now_s;
    this.senml = Array.from({ length: 200 }, (_, n) => this.validSenml(n));
    this.sparkplug = Array.from({ length: 400 }, (_, n) => this.validSparkplug(n));
  }

  next(): FuzzedMessage {
    const isSenml = this.random() < 0.5;
    const { topic, payload } = this.pick(isSenml ? this.senml : this.sparkplug);
    return {
      topic: this.random() < 0.97 ? topic : this.changedTopic(topic),
      payload: isSenml ? this.changedSenml(payload) : this.changedSparkplug(payload),
    };
  }

  private changedSenml(payload: Buffer): Buffer {
    const kind = this.random();
    if (kind < 0.15) return payload;
    return kind < 0.35 ? this.changedBytes(payload) : this.changedText(payload);
  }

  private changedSparkplug(payload: Buffer): Buffer {
    const kind = this.random();
    if (kind < 0.3) return payload;
    return kind < 0.6 ? this.changedBytes(payload) : this.oddPayload();
  }

  /** Well encoded, and of fields as no sender would put them together. */
  private oddPayload(): Buffer {
    const writer = protobuf.Writer.create();
    const odd = () => this.pick(oddVarints);
    if (this.random() < 0.9) writer.uint32(8).uint64(this.random() < 0.8 ? this.now_s * 1000 : odd());
    for (let n = this.integer(8); n > 0; n--) {
      const metric = protobuf.Writer.create();
      if (this.random() < 0.5)
        metric
          .uint32(10)
          .string(
            this.pick(['Suction Pressure', 'EXV', 'On', '', 'bdSeq', '\0', '__proto__', 'é/'.repeat(90)]),
          );
      if (this.random() < 0.7) metric.uint32(16).uint64(this.random() < 0.8 ? 1 + this.integer(7) : odd());
      if (this.random() < 0.8)
        metric.uint32(24).uint64(this.random() < 0.6 ? this.now_s * 1000 - this.integer(1e6) : odd());
      if (this.random() < 0.5) metric.uint32(32).uint64(this.random() < 0.8 ? this.integer(22) : odd());
      if (this.random() < 0.1) metric.uint32(40).bool(true);
      if (this.random() < 0.1) metric.uint32(56).bool(this.random() < 0.8);
      this.oddValue(metric);
      writer.uint32(18).bytes(metric.finish());
    }
    if (this.random() < 0.95) writer.uint32(24).uint64(this.random() < 0.8 ? this.integer(256) : odd());
    return Buffer.from(writer.finish());
  }

  private oddValue(metric: protobuf.Writer): void {
    switch (this.integer(8)) {
      case 0:
        metric.uint32(80).uint64(this.pick(oddVarints));
        break;
      case 1:
        metric.uint32(88).uint64(this.pick(oddVarints));
        break;
      case 2:
        metric.uint32(101).float(this.pick([NaN, Infinity, -0, 3e38, 36.3, 1e-40]));
        break;
      case 3:
        metric.uint32(105).double(this.pick([NaN, -Infinity, 1e308, 36.3, 5e-324, 42]));
        break;
      case 4:
        metric.uint32(112).uint64(this.pick([0, 1, 2, ...oddVarints]));
        break;
      case 5:
        metric.uint32(122).string(this.pick(['', '42', '\ud800', 'x'.repeat(500)]));
        break;
      case 6:
        metric.uint32(8 * (16 + this.integer(4)) + 2).bytes(Buffer.alloc(this.integer(40), 0x12));
    }
  }

  private integer(below: number): number {
    return Math.floor(this.random() * below);
  }

  private pick<Item>(from: readonly Item[]): Item {
    return from[this.integer(from.length)];
  }

  private validSenml(n: number): FuzzedMessage {
    const bt = this.now_s - 60 * n;
    const one = (fields: object) => Buffer.from(JSON.stringify([{ bt, ...fields }]));
    switch (n % 6) {
      case 0:
        return { topic: `${root}/water`, payload: one({ n: 'flow', u: 'l/s', v: 8 }) };
      case 1:
        return { topic: `${root}/condenser`, payload: one({ n: 'fan-speed', u: '%', v: 80 }) };
      case 2:
        return { topic: `${root}/backup/1`, payload: one({ n: 'mains', vb: true }) };
      case 3:
        return {
          topic: `${root}/backup/1/closing`,
          payload: Buffer.from(
            JSON.stringify(
              Array.from({ length: 20 }, (_, i) => ({
                ...(i === 0 ? { bt, bn: 'urn:x:' } : {}),
                n: 'voltage',
                u: 'V',
                t: i / 20,
                v: 15 - i / 10,
              })),
            ),
          ),
        };
      case 4:
        return { topic: `${root}/presence`, payload: one({ n: 'online', vb: n % 2 === 0 }) };
      default:
        return {
          topic: `${root}/circuits/${1 + (n % 2)}`,
          payload: Buffer.from(circuitPack(bt, 1 + (n % 12), n)),
        };
    }
  }

  private validSparkplug(n: number): FuzzedMessage {
    const timestamp = (this.now_s * 1000 - n) as never;
    const edge = `gateway-${n % 7}`;
    const metric = (
      name: string,
      alias: number,
      type: UMetric['type'],
      value: UMetric['value'],
    ): UMetric => ({
      ...{ name, alias: alias as never, type, value, timestamp },
      ...(n % 3 === 0
        ? {
            properties: { engUnit: { type: 'String', value: 'psi' }, Quality: { type: 'Int32', value: 192 } },
          }
        : {}),
      ...(n % 11 === 0 ? { isHistorical: true } : {}),
    });
    const all = [
      metric('Suction Pressure', 1, 'Double', 36 + (n % 9)),
      metric('Suction Temp', 2, 'Int16', 430 - (n % 9)),
      metric('EXV', 3, 'UInt8', n % 100),
      metric('Text', 4, 'String', `text ${n}`),
      metric('Count', 5, 'UInt64', n),
      metric('On', 6, 'Boolean', n % 2 === 0),
    ];
    const control = [
      metric('bdSeq', 90, 'UInt64', n % 3),
      metric('Node Control/Rebirth', 91, 'Boolean', false),
    ];
    const encoded = (metrics: UMetric[], seq: number): Buffer =>
      Buffer.from(published.encodePayload({ timestamp, metrics, seq: seq as never } as UPayload));
    const seq = n % 256;
    switch (n % 9) {
      case 0:
        return { topic: `spBv1.0/Site A/NBIRTH/${edge}`, payload: encoded([...control, ...all], 0) };
      case 1:
        return { topic: `spBv1.0/Site A/DBIRTH/${edge}/Chiller`, payload: encoded(all, 1) };
      case 2:
        return { topic: `spBv1.0/Site A/NDEATH/${edge}`, payload: encoded(control.slice(0, 1), 0) };
      case 3:
        return { topic: `spBv1.0/Site A/DDEATH/${edge}/Chiller`, payload: encoded([], seq) };
      case 4:
        return { topic: `spBv1.0/Site A/NDATA/${edge}`, payload: encoded(all.slice(0, 1 + (n % 6)), seq) };
      default: {
        const some = all.slice(0, 1 + (n % 6)).map(({ name: _name, ...byAlias }) => byAlias as UMetric);
        return { topic: `spBv1.0/Site A/DDATA/${edge}/Chiller`, payload: encoded(some, seq) };
      }
    }
  }

  private changedTopic(topic: string): string {
    const levels = topic.split('/');
    const at = this.integer(levels.length);
    levels[at] = this.pick(['', '+', '#', 'x'.repeat(300), 'chiller-9', '0', '\0', 'DDATA', 'é', '../..']);
    if (this.random() < 0.2) levels.splice(at, 1);
    return levels.join('/');
  }

  private changedText(payload: Buffer): Buffer {
    if (this.random() < 0.003) return this.absurd(payload);
    let text = payload.toString('utf8');
    for (let n = 1 + this.integer(3); n > 0; n--) text = this.changedToken(text);
    return Buffer.from(text, 'utf8');
  }

  /** Puts something else in the place of one number, text, label or brace. */
  private changedToken(text: string): string {
    const tokens = [...text.matchAll(this.random() < 0.9 ? values : marks)];
    if (tokens.length === 0) return text;
    const token = this.pick(tokens);
    const isLabel = text[token.index + token[0].length] === ':';
    const by = /^-?\d/.test(token[0])
      ? this.pick([oddNumbers, oddNumbers, oddValues])
      : isLabel
        ? oddLabels
        : token[0].startsWith('"')
          ? this.pick([oddUnits, oddValues])
          : oddValues;
    return text.slice(0, token.index) + this.pick(by) + text.slice(token.index + token[0].length);
  }

  /** Of absurd length or depth. */
  private absurd(payload: Buffer): Buffer {
    switch (this.integer(5)) {
      case 0:
        return Buffer.from('['.repeat(1 + this.integer(200_000)));
      case 1:
        return Buffer.from(`${'[{"n":'.repeat(20_000)}1${'}]'.repeat(20_000)}`);
      case 2:
        return Buffer.from(
          JSON.stringify(
            Array.from({ length: this.integer(5_000) }, (_, t) => ({ n: 'flow', u: 'l/s', v: 1, t })),
          ),
        );
      case 3:
        return Buffer.from(`[${'{},'.repeat(this.integer(20_000))}{}]`);
      default:
        return Buffer.concat(Array.from({ length: 1 + this.integer(50) }, () => payload));
    }
  }

  private changedBytes(payload: Buffer): Buffer {
    const kind = this.random();
    if (kind < 0.002) return this.absurdBytes(payload);
    if (kind < 0.1) return payload.subarray(0, this.integer(payload.length + 1));
    if (kind < 0.15) {
      const other = this.pick(this.random() < 0.5 ? this.senml : this.sparkplug).payload;
      return Buffer.concat([
        payload.subarray(0, this.integer(payload.length + 1)),
        other.subarray(this.integer(other.length + 1)),
      ]);
    }
    if (kind < 0.2) {
      const at = this.integer(payload.length + 1);
      const more = Buffer.from(
        Array.from({ length: 1 + this.integer(12) }, () =>
          this.pick([0xff, 0x00, 0x80, 0x0b, 0x7f, this.integer(256)]),
        ),
      );
      return Buffer.concat([payload.subarray(0, at), more, payload.subarray(at)]);
    }
    const changed = Buffer.from(payload);
    for (let n = 1 + this.integer(8); n > 0 && changed.length > 0; n--)
      changed[this.integer(changed.length)] ^= 1 << this.integer(8);
    return changed;
  }

  /** Groups in groups, metrics in templates in metrics, and more metrics than any gateway has. */
  private absurdBytes(payload: Buffer): Buffer {
    switch (this.integer(4)) {
      case 0:
        return Buffer.alloc(1 + this.integer(200_000), 0x33);
      case 1: {
        let nested = payload.subarray(0, 20);
        for (let depth = 0; depth < 200; depth++) {
          const tag = depth % 2 === 0 ? [0x12] : [0x92, 0x01];
          nested = Buffer.concat([Buffer.from(tag), varint(nested.length), nested]);
        }
        return nested;
      }
      case 2:
        return Buffer.alloc(2 * this.integer(30_000), Buffer.from([0x12, 0x00]));
      default:
        return Buffer.concat(Array.from({ length: 1 + this.integer(50) }, () => payload));
    }
  }
}

function varint(value: number): Buffer {
  const bytes: number[] = [];
  for (; value > 127; value >>>= 7) bytes.push((value & 127) | 128);
  return Buffer.from([...bytes, value]);
}
