import { describe, expect, it } from 'vitest';
import { guessColumns, readTable, tableColumns, writeTable, type Cell } from './index.js';

const heads = [
  'Building',
  'Chiller',
  'Gas',
  'Capacity (tons)',
  'Cooled by',
  'Pressure reads',
  'Year built',
  'Kv [m3/h]',
  'Remark',
];
const read = (rows: Cell[][], own = heads) => readTable({ heads: own, rows }, guessColumns(own));
const row = (change: Record<number, Cell> = {}): Cell[] =>
  (['Town Hall', 'CH 1', 'R134a', 100, 'Water cooled', 'Gauge', 2019, '2,5', 'noisy'] as Cell[]).map(
    (cell, i) => (i in change ? change[i] : cell),
  );

describe('the columns of a table', () => {
  it('are guessed by the words of the trade, each once, and left open where they say nothing', () => {
    expect(guessColumns(heads)).toEqual([
      ...['site.key', 'unit.key', 'unit.refrigerant', 'unit.nominalCapacity_W', 'unit.condenser'],
      ...['circuit.suctionReference', 'unit.commissionedOn', 'circuit.kv_m3_h', null],
    ]);
    expect(guessColumns(['Refrigerant', 'gas'])).toEqual(['unit.refrigerant', null]);
  });

  it('of an export are all recognised', () => {
    expect(guessColumns(tableColumns.map(({ head }) => head))).not.toContain(null);
  });
});

describe('a row of a table', () => {
  it('makes a unit in SI units, with what is empty as not known', () => {
    const { sites, units, problems } = read([row()]);
    expect(problems).toEqual([]);
    expect(sites).toEqual([{ key: 'town-hall', name: 'Town Hall', timeZone: null, altitude_m: null }]);
    const { draft } = units[0];
    expect(draft).toMatchObject({ key: 'ch-1', condenser: 'water', commissionedOn: '2019-01-01' });
    expect(draft.nominalCapacity_W).toBeCloseTo(351_685.28, 1); // 100 tons of 3516.8528 W (NIST SP 811)
    expect(draft.circuits[0]).toMatchObject({
      number: 1,
      suctionReference: 'gauge',
      kv_m3_h: 2.5,
      fullStroke_steps: null,
    });
  });

  it('is one circuit: rows of the same unit belong together, and have to agree', () => {
    const { units } = read([row(), row({ 7: 1.6 })]);
    expect(units).toHaveLength(1);
    expect(units[0].draft.circuits.map(({ number, kv_m3_h }) => [number, kv_m3_h])).toEqual([
      [1, 2.5],
      [2, 1.6],
    ]);
    const { problems } = read([row(), row({ 2: 'R410A' })]);
    expect(problems).toEqual([
      { row: 2, column: 2, sentence: 'Another row of town-hall/ch-1 says "R134a".' },
    ]);
  });

  it('has its problems told cell by cell', () => {
    const { problems } = read([
      row({ 3: 'big', 4: 'by luck', 6: '03/04/2019' }),
      row({ 1: null }),
      row({ 5: '' }),
    ]);
    expect(problems.map(({ row: at, column }) => [at, column])).toEqual([
      [1, 3],
      [1, 4],
      [1, 6],
      [2, 1],
      [3, null],
    ]);
    expect(problems[2].sentence).toContain('2021-05-03');
  });

  it('is nothing where a column that every unit needs is missing', () => {
    expect(read([['a', 'b']], ['Site', 'Unit']).problems.map(({ sentence }) => sentence)).toEqual([
      'No column is "Refrigerant".',
      'No column is "Cooling capacity [kW]".',
      'No column is "Condenser".',
    ]);
  });

  it('asks for all four figures of a backup module, which may stand in the rows of several circuits', () => {
    const own = [
      ...heads,
      'Backup module',
      'Rated voltage [V]',
      'Minimum voltage [V]',
      'Capacitance [F]',
      'Drive power [W]',
    ];
    const full = read(
      [
        [...row(), 1, 20, 9, 1.4, 9],
        [...row(), 1, 20, 9, 1.4, 9],
      ],
      own,
    );
    expect(full.units[0].draft.modules).toMatchObject([
      { number: 1, circuits: [1, 2], ratedCapacitance_F: 1.4 },
    ]);
    expect(read([[...row(), 1, 20, 9, null, 9]], own).problems[0].sentence).toContain('Module capacitance');
  });
});

it('what is written is read back the same', () => {
  const kilowatts = heads.map((head) => (head.startsWith('Capacity') ? 'Capacity (kW)' : head));
  const given = read(
    [row({ 7: 1.6 }), row({ 7: null }), row({ 1: 'CH 2', 3: 33.3, 5: 'absolute' })],
    kilowatts,
  );
  const table = writeTable(given.units.map(({ draft }) => ({ site: given.sites[0], draft })));
  const again = readTable(table, guessColumns(table.heads));
  expect(again.problems).toEqual([]);
  expect(again.units.map(({ draft }) => draft)).toEqual(given.units.map(({ draft }) => draft));
});
