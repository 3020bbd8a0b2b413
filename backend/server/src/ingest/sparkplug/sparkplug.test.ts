import {
  EdgeNode,
  guessPoint,
  numberOf,
  parseSparkplugTopic,
  pointConversion,
  sparkplugFilters,
  type EdgeNodeMessage,
  type SparkplugMessageType,
} from '@coldrounds/core/sparkplug';
import type { UMetric, UPayload } from 'sparkplug-payload/lib/sparkplugbpayload.js';
import sparkplugPayload from 'sparkplug-payload';
import { describe, expect, it } from 'vitest';
import { decodeSparkplug, encodeRebirth } from './payload-codec.js';
import { RebirthRequests } from './rebirth-requests.js';
import { SparkplugReader } from './sparkplug-reader.js';

/** A published encoder of the standard's schema. */
const published = sparkplugPayload.get('spBv1.0')!;
const decoded = (payload: UPayload) => decodeSparkplug(published.encodePayload(payload));
const at_ms = 1486144502122;
const metric = (
  name: string,
  type: UMetric['type'],
  value: UMetric['value'],
  more: object = {},
): UMetric => ({
  ...{ name, type, value, timestamp: at_ms as never },
  ...more,
});

describe('topics (chapter 4)', () => {
  it('are read as the examples of the standard name them', () => {
    expect(parseSparkplugTopic('spBv1.0/Sparkplug B Devices/NBIRTH/Raspberry Pi')).toEqual({
      ...{ group: 'Sparkplug B Devices', type: 'NBIRTH', edge: 'Raspberry Pi', device: '' },
    });
    expect(parseSparkplugTopic('spBv1.0/Sparkplug B Devices/DDATA/Raspberry Pi/Pibrella')).toMatchObject({
      ...{ type: 'DDATA', device: 'Pibrella' },
    });
  });

  it('are refused where they are commands, states, or none', () => {
    for (const topic of [
      ...[
        'spBv1.0/G/NCMD/E',
        'spBv1.0/G/DCMD/E/D',
        'spBv1.0/STATE/host',
        'spAv1.0/G/NDATA/E',
        'spBv1.0/G/NDATA',
      ],
      ...['spBv1.0/G/NDATA/E/D', 'spBv1.0/G/DDATA/E', 'spBv1.0/G/DDATA/E/D/more', 'spBv1.0//NDATA/E', ''],
      `spBv1.0/${'g'.repeat(201)}/NDATA/E`,
    ])
      expect(parseSparkplugTopic(topic), topic).toBeNull();
  });

  it('are subscribed to without commands', () => {
    expect(sparkplugFilters).toContain('spBv1.0/+/DBIRTH/+/+');
    expect(sparkplugFilters).toContain('spBv1.0/+/NDEATH/+');
    expect(sparkplugFilters.join()).not.toMatch(/CMD|STATE/);
  });
});

describe('payloads (chapter 6), written by a published encoder', () => {
  it('are read with names, aliases, types, times and sequence number', () => {
    const payload = decoded({
      timestamp: at_ms as never,
      seq: 2 as never,
      metrics: [
        metric('Supply Voltage', 'Float', 12.5, { alias: 7 }),
        metric('Properties/OS', 'String', 'Raspbian'),
        metric('Node Control/Rebirth', 'Boolean', false),
        metric('Missing', 'Double', null, { isNull: true }),
        metric('Old', 'Double', 4, { isHistorical: true }),
      ],
    });
    expect(payload).toMatchObject({ time_ms: at_ms, seq: 2 });
    expect(payload.metrics.map(({ name }) => name)).toEqual([
      ...['Supply Voltage', 'Properties/OS', 'Node Control/Rebirth', 'Missing', 'Old'],
    ]);
    const [voltage, os, rebirth, missing, old] = payload.metrics;
    expect(voltage).toMatchObject({
      alias: 7,
      datatype: 9,
      time_ms: at_ms,
      value: { field: 'float', value: 12.5 },
    });
    expect(os.value).toEqual({ field: 'string', value: 'Raspbian' });
    expect(rebirth.value).toEqual({ field: 'boolean', value: false });
    expect(missing).toMatchObject({ isNull: true });
    expect(old.historical).toBe(true);
  });

  it.each([
    ['Int8', -1, -1],
    ['Int8', -128, -128],
    ['Int16', -2, -2],
    ['Int32', -2147483648, -2147483648],
    ['Int32', 2147483647, 2147483647],
    ['Int64', -5, -5],
    ['UInt8', 255, 255],
    ['UInt16', 65535, 65535],
    ['UInt32', 4294967295, 4294967295],
    ['UInt64', 9007199254740991, 9007199254740991],
    ['Double', -40.25, -40.25],
    ['Boolean', true, 1],
  ] as const)('give %s %s as %s', (type, value, expected) => {
    const [{ value: raw, datatype }] = decoded({ metrics: [metric('m', type, value)] }).metrics;
    expect(numberOf(raw!, datatype)).toBe(expected);
  });

  it('give a signed integer that is filled up to its own bits alone, and none that its type cannot hold', () => {
    expect(numberOf({ field: 'int', value: 0xff }, 1)).toBe(-1);
    expect(numberOf({ field: 'int', value: 0xffffffff }, 1)).toBe(-1);
    expect(numberOf({ field: 'int', value: 0xfffe }, 2)).toBe(-2);
    expect(numberOf({ field: 'long', low: 0xfffffff6, high: 0xffffffff }, 3)).toBe(-10);
    expect(numberOf({ field: 'int', value: 300 }, 1)).toBeNull();
    expect(numberOf({ field: 'int', value: 256 }, 5)).toBeNull();
    expect(numberOf({ field: 'string', value: '5' }, 12)).toBeNull();
    expect(numberOf({ field: 'double', value: NaN }, 10)).toBeNull();
  });

  it('give the quality and the unit of a metric (tck-id-payloads-propertyset-quality-value-value)', () => {
    const [first] = decoded({
      metrics: [
        metric('m', 'Double', 1, {
          properties: {
            engUnit: { type: 'String', value: 'psi' },
            Quality: { type: 'Int32', value: 500 },
          },
        }),
      ],
    }).metrics;
    expect(first).toMatchObject({ quality: 500, unit: 'psi' });
  });

  it('are refused with a sentence where they are cut off, no UTF-8, or no Protocol Buffers', () => {
    const whole = published.encodePayload({ metrics: [metric('Supply Voltage', 'Float', 12.5)] });
    expect(() => decodeSparkplug(whole.subarray(0, whole.length - 3))).toThrow(
      /ends in the middle of a field/,
    );
    expect(() => decodeSparkplug(Buffer.from('[{"n":"suction-pressure"}]'))).toThrow(/not Sparkplug B/);
    const name = Buffer.from(whole);
    name[name.indexOf('Supply')] = 0xff;
    expect(() => decodeSparkplug(name)).toThrow('A text in the payload is not UTF-8.');
  });

  it('ask for births as tck-id-operational-behavior-data-commands-ncmd-rebirth-name and -value want', () => {
    const { metrics, seq } = published.decodePayload(encodeRebirth(at_ms));
    expect(metrics).toHaveLength(1);
    expect(metrics![0]).toMatchObject({ name: 'Node Control/Rebirth', type: 'Boolean', value: true });
    // tck-id-payloads-ncmd-seq: none.
    expect(Number(seq ?? 0)).toBe(0);
  });
});

describe('an edge node', () => {
  const limits = { reorder_ms: 2_000, patience_ms: 10_000, held: 500 };
  const births = {
    node: [metric('bdSeq', 'UInt64', 3), metric('Room', 'Float', 20, { alias: 1 })],
    device: [
      metric('Suction Pressure', 'Int32', -5, { alias: 2 }),
      metric('Text', 'String', 'x', { alias: 3 }),
    ],
  };

  /** A node with short ways to send it messages; what comes out is told by the tags that go in. */
  function edgeNode() {
    const node = new EdgeNode<string>(limits);
    let count = 0;
    let time_ms = at_ms;
    const message = (
      type: SparkplugMessageType,
      seq: number | null,
      metrics: UMetric[],
    ): EdgeNodeMessage<string> => {
      const payload = decoded({
        timestamp: (time_ms += 1) as never,
        metrics,
        ...(seq === null ? {} : { seq: seq as never }),
      });
      // An encoder that is told no number gives 0; a death has none.
      if (seq === null) payload.seq = null;
      const device = type.startsWith('D') ? 'D' : '';
      return {
        address: { group: 'G', edge: 'E', type, device },
        payload,
        receivedAt_ms: time_ms,
        tag: `${type} ${(count += 1)}`,
      };
    };
    const send = (type: SparkplugMessageType, seq: number | null, metrics: UMetric[] = []) =>
      node.accept(message(type, seq, metrics));
    return {
      ...{ node, message, send },
      born: () => {
        send('NBIRTH', 0, births.node);
        send('DBIRTH', 1, births.device);
      },
      data: (seq: number, value = 1) => send('DDATA', seq, [byAlias(2, value)]),
    };
  }
  const byAlias = (alias: number, value: number): UMetric =>
    ({ alias, type: 'Int32', value, timestamp: at_ms as never }) as unknown as UMetric;
  const reasons = ({ outcomes }: ReturnType<EdgeNode<string>['accept']>) =>
    outcomes.map(({ rejection }) => rejection?.reason ?? null);

  it('tells the values of its births, and afterwards names by alias (tck-id-payloads-alias-data-cmd-requirement)', () => {
    const { send } = edgeNode();
    const [birth] = send('NBIRTH', 0, births.node).outcomes;
    expect(birth).toMatchObject({
      event: 'birth',
      born: [{ name: 'bdSeq' }, { name: 'Room', type: 'Float', value: 20 }],
    });
    expect(send('DBIRTH', 1, births.device).outcomes[0].values[0]).toMatchObject({
      name: 'Suction Pressure',
      value: -5,
    });
    const [outcome] = send('DDATA', 2, [byAlias(2, -7)]).outcomes;
    expect(outcome.values).toEqual([
      { device: 'D', name: 'Suction Pressure', time_ms: at_ms, value: -7, type: 'Int32' },
    ]);
  });

  it('has no value where it says null, or a quality that is not good, and none from a text', () => {
    const { born, send } = edgeNode();
    born();
    const [{ values }] = send('DDATA', 2, [
      { ...byAlias(2, 0), isNull: true, value: null },
      { ...byAlias(2, 5), properties: { Quality: { type: 'Int32', value: 0 } } },
      { ...byAlias(3, 0), type: 'String', value: 'text' },
    ]).outcomes;
    expect(values.map(({ value }) => value)).toEqual([null, null, undefined]);
  });

  it('is asked for its birth on data before it', () => {
    const { send } = edgeNode();
    const step = send('NDATA', 7, births.node);
    expect(reasons(step)).toEqual(['before-birth']);
    expect(step.rebirth).toBe('its birth is not known');
    const other = edgeNode();
    other.send('NBIRTH', 0, births.node);
    expect(reasons(other.data(1))).toEqual(['before-birth']);
  });

  it('is asked for its birth where a metric comes that it did not announce, and the others are read', () => {
    const { born, send } = edgeNode();
    born();
    const step = send('DDATA', 2, [byAlias(2, 1), byAlias(99, 1)]);
    expect(reasons(step)).toEqual(['unknown-name']);
    expect(step.outcomes[0].values).toHaveLength(1);
    expect(step.rebirth).toMatch(/no birth announced/);
  });

  it('counts from 255 on to 0 (tck-id-payloads-sequence-num-incrementing)', () => {
    const { born, data, node } = edgeNode();
    born();
    for (let n = 2; n < 600; n++) expect(reasons(data(n % 256)), String(n)).toEqual([null]);
    expect(node.dueAt_ms).toBeNull();
  });

  it('goes on where a missing message comes in time (tck-id-operational-behavior-host-reordering-success)', () => {
    const { born, data, node } = edgeNode();
    born();
    expect(data(3).outcomes).toEqual([]);
    expect(data(4).outcomes).toEqual([]);
    expect(node.dueAt_ms).not.toBeNull();
    expect(data(2).outcomes.map(({ tag }) => tag)).toEqual(['DDATA 5', 'DDATA 3', 'DDATA 4']);
    expect(node.dueAt_ms).toBeNull();
    expect(reasons(data(5))).toEqual([null]);
    expect(node.gaps).toBe(0);
  });

  it('is asked for its births where it does not (tck-id-operational-behavior-host-reordering-rebirth), and goes on with them', () => {
    const { born, data, node, send } = edgeNode();
    born();
    data(3);
    const due_ms = node.dueAt_ms!;
    expect(node.expire(due_ms - 1)).toEqual({ outcomes: [], rebirth: null });
    expect(node.expire(due_ms)).toEqual({ outcomes: [], rebirth: 'a message of it is missing' });
    expect(node.expire(due_ms).rebirth).toBeNull();
    data(4);
    const step = send('NBIRTH', 0, births.node);
    expect(reasons(step)).toEqual(['sequence-gap', 'sequence-gap', null]);
    send('DBIRTH', 1, births.device);
    expect(reasons(data(2))).toEqual([null]);
    expect(node.gaps).toBe(1);
  });

  it('is read on by the births known where it never answers', () => {
    const { born, data, node } = edgeNode();
    born();
    data(4);
    data(3);
    node.expire(node.dueAt_ms!);
    const step = node.expire(node.dueAt_ms!);
    expect(step.outcomes.map(({ tag }) => tag)).toEqual(['DDATA 4', 'DDATA 3']);
    expect(reasons(step)).toEqual([null, null]);
    expect(reasons(data(5))).toEqual([null]);
  });

  it('is not asked for anything where a message comes twice', () => {
    const { born, message, node } = edgeNode();
    born();
    const first = message('DDATA', 2, [byAlias(2, 1)]);
    expect(reasons(node.accept(first))).toEqual([null]);
    expect(reasons(node.accept({ ...first, tag: 'again' }))).toEqual([null]);
    const birth = message('NBIRTH', 0, births.node);
    node.accept(birth);
    node.accept(message('DBIRTH', 1, births.device));
    const again = node.accept({ ...birth, tag: 'again' });
    expect(again).toMatchObject({ rebirth: null, outcomes: [{ event: 'none' }] });
    expect(reasons(node.accept(message('DDATA', 2, [byAlias(2, 1)])))).toEqual([null]);
    expect(node.dueAt_ms).toBeNull();
  });

  it('is dead by its own will alone (tck-id-payloads-ndeath-bdseq), and all its devices with it', () => {
    const { born, data, node, send } = edgeNode();
    born();
    expect(send('NDEATH', null, [metric('bdSeq', 'UInt64', 2)]).outcomes[0].event).toBe('none');
    expect(node.isAlive('D')).toBe(true);
    expect(send('NDEATH', null, [metric('bdSeq', 'UInt64', 3)]).outcomes[0].event).toBe('death');
    expect([node.isAlive(), node.isAlive('D')]).toEqual([false, false]);
    expect(reasons(data(2))).toEqual(['before-birth']);
  });

  it('lives on where one of its devices is dead', () => {
    const { born, data, node, send } = edgeNode();
    born();
    expect(send('DDEATH', 2).outcomes[0].event).toBe('death');
    expect([node.isAlive(), node.isAlive('D')]).toEqual([true, false]);
    expect(reasons(data(3))).toEqual(['before-birth']);
  });
});

it('asks one edge node at most every ten seconds, seldomer where it does not answer, and 50 in a second', () => {
  const asked: string[] = [];
  const requests = new RebirthRequests(({ edge }) => asked.push(edge));
  const one = { group: 'G', edge: 'E' };
  const tries = (from_s: number, to_s: number) => {
    let count = 0;
    for (let s = from_s; s < to_s; s++) if (requests.ask(one, s * 1000)) count += 1;
    return count;
  };
  expect(tries(0, 600)).toBe(6);
  requests.answered(one);
  expect(tries(10_000, 10_015)).toBe(2);
  const many = Array.from({ length: 80 }, (_, n) => requests.ask({ group: 'G', edge: `N${n}` }, 20_000_000));
  expect(many.filter(Boolean)).toHaveLength(50);
});

it('asks again for births that the rate did not let it ask for, once it may', () => {
  const asked: number[] = [];
  let now_ms = at_ms;
  const reader = new SparkplugReader({ requestRebirth: () => asked.push(now_ms - at_ms), say: () => {} });
  const send = (type: string, metrics: UMetric[], seq: number) =>
    reader.take(
      {
        ...{ topic: `spBv1.0/G/${type}/E`, delivery: null, mayBeRedelivered: false, connectedAt_ms: 1 },
        payload: Buffer.from(
          published.encodePayload({ timestamp: now_ms as never, metrics, seq: seq as never }),
        ),
        ...{ receivedAt_ms: now_ms, acknowledge: () => {} },
      },
      1e6,
    );
  const born = [metric('Room', 'Float', 20)];
  send('NDATA', born, 7);
  send('NBIRTH', born, 0);
  // A metric that no birth announced, twice; its sender is asked for births ten seconds after the first request.
  for (let seq = 1; seq <= 20; seq++, now_ms += 1_000)
    send('NDATA', seq === 1 ? [metric('New', 'Float', 1)] : born, seq);
  expect(asked).toEqual([0, 10_000]);
});

describe('points', () => {
  const of = (unit: 'Pa' | 'K' | 'bool', difference = false) => ({ metric: { unit }, difference });

  it('come in the units of the trade: 32 F is 0 C, 100 psi 689.5 kPa (NIST SP 811), a difference of 9 F is 5 K', () => {
    expect(pointConversion('°F', of('K'))!(32)).toBeCloseTo(273.15, 9);
    expect(pointConversion('degC', of('K'))!(10)).toBeCloseTo(283.15, 9);
    expect(pointConversion('psig', of('Pa'))!(100)).toBeCloseTo(689475.7, 0);
    expect(pointConversion('kPa', of('Pa'))!(1)).toBe(1000);
    expect(pointConversion('bar(a)', of('Pa'))!(1)).toBe(1e5);
    expect(pointConversion('°F', of('K', true))!(9)).toBeCloseTo(5, 9);
    expect(pointConversion('off/on', of('bool'))!(1)).toBe(0);
    expect(pointConversion('furlong', of('Pa'))).toBeNull();
  });

  const parts = { circuits: [1, 2], modules: [1] };
  it.each([
    [
      'Circuit 2/Suction Pressure',
      'Float',
      'PSIG',
      '',
      { stream: 'circuits', number: 2, quantity: 'suction-pressure', unit: 'psi' },
    ],
    [
      'CKT_A_DISCH_TEMP',
      'Float',
      'degF',
      '',
      { stream: 'circuits', number: 1, quantity: 'discharge-temperature', unit: '°F' },
    ],
    [
      'EXV Position',
      'UInt16',
      '%',
      'Circuit 2',
      { stream: 'circuits', number: 2, quantity: 'valve-opening', unit: '%' },
    ],
    [
      'Leaving Chilled Water Temp',
      'Float',
      null,
      '',
      { stream: 'water', number: undefined, quantity: 'leaving-temperature', unit: null },
    ],
    [
      'Cond Water Entering Temperature',
      'Float',
      '°C',
      '',
      { stream: 'condenser', quantity: 'entering-temperature', unit: '°C' },
    ],
    ['Backup 1/Voltage', 'Float', 'V', '', { stream: 'backup', number: 1, quantity: 'voltage', unit: 'V' }],
  ] as const)('are guessed from a name such as %s', (name, type, unit, device, guess) => {
    expect(guessPoint({ name, type, unit }, device, parts)).toMatchObject(guess);
  });

  it('are not guessed from what is no number, or of a circuit that is not there', () => {
    expect(guessPoint({ name: 'Suction Pressure', type: 'String', unit: null }, '', parts)).toBeNull();
    expect(
      guessPoint({ name: 'Circuit 3/Suction Pressure', type: 'Float', unit: null }, '', parts),
    ).toBeNull();
    expect(guessPoint({ name: 'Node Control/Rebirth', type: 'Boolean', unit: null }, '', parts)).toBeNull();
  });
});
