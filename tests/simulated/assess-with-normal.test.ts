import type { CircuitSeries, NormalComparison } from '@coldrounds/core';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { runCommand } from '../../backend/server/src/bin/cli.js';
import { randomChiller, standDay } from './water-cooled-chiller.js';

/** Columns of a laboratory's log, in inch-pound and gauge pressure as such stands write them. */
const columns: Record<string, (s: CircuitSeries, i: number) => number> = {
  time_s: (s, i) => s.time_s[i] - s.time_s[0],
  suction_pressure_psig: (s, i) => s.suctionPressure_Pa[i] / 6894.757 - 14.696,
  suction_temperature_F: (s, i) => s.suctionTemperature_K[i] * 1.8 - 459.67,
  discharge_pressure_psig: (s, i) => s.dischargePressure_Pa[i] / 6894.757 - 14.696,
  discharge_temperature_F: (s, i) => s.dischargeTemperature_K[i] * 1.8 - 459.67,
  liquid_temperature_F: (s, i) => s.liquidTemperature_K[i] * 1.8 - 459.67,
  entering_temperature_F: (s, i) => s.enteringWaterTemperature_K[i] * 1.8 - 459.67,
  leaving_temperature_F: (s, i) => s.leavingWaterTemperature_K[i] * 1.8 - 459.67,
  flow_gpm: (s, i) => s.waterFlow_m3_s[i] / 6.30902e-5,
  condenser_entering_temperature_F: (s, i) => s.condenserEnteringTemperature_K[i] * 1.8 - 459.67,
  condenser_leaving_temperature_F: (s, i) => s.condenserLeavingTemperature_K[i] * 1.8 - 459.67,
  condenser_flow_gpm: (s, i) => s.condenserFlow_m3_s[i] / 6.30902e-5,
  compressor_power_kW: (s, i) => s.compressorPower_W[i] / 1000,
};

const csv = (s: CircuitSeries): string =>
  [
    Object.keys(columns).join(','),
    ...Array.from(s.time_s, (_, i) =>
      Object.values(columns)
        .map((of) => of(s, i).toFixed(3))
        .join(','),
    ),
  ].join('\n');

describe('coldrounds assess --normal', () => {
  const chiller = randomChiller(4);
  let folder: string;
  let out = '';
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'coldrounds-normal-'));
    const days = { normal: {}, again: {}, gas: { gas: 0.01 }, flow: { condenserFlow: 0.1 } };
    await Promise.all(
      Object.entries(days).map(([name, fault], k) =>
        writeFile(join(folder, `${name}.csv`), csv(standDay(chiller, 400 + k, fault, { step_s: 20 }))),
      ),
    );
    vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
      out += String(text);
      return true;
    });
  });
  afterAll(async () => {
    vi.restoreAllMocks();
    await rm(folder, { recursive: true });
  });

  const assess = async (name: string): Promise<NormalComparison> => {
    out = '';
    const code = await runCommand([
      'assess',
      join(folder, `${name}.csv`),
      '--refrigerant',
      chiller.refrigerant,
      '--normal',
      join(folder, 'normal.csv'),
      '--evaporator',
      'flooded',
    ]);
    expect(code).toBe(0);
    return JSON.parse(out) as NormalComparison;
  };
  const share = ({ plateaus }: NormalComparison) =>
    plateaus.filter(({ overLimit }) => overLimit).length / plateaus.length;

  it('leaves another normal day alone', async () => {
    const result = await assess('again');
    expect(result.plateaus.length).toBeGreaterThan(20);
    expect(share(result)).toBeLessThanOrEqual(1 / 24);
    const { value, expected, z } = result.plateaus[0].departures.subcooling_K!;
    expect(Math.abs(value - expected)).toBeLessThan(1);
    expect(Math.abs(z)).toBeLessThan(4);
  });

  it('finds gas in the circuit on every plateau and names it first', async () => {
    const result = await assess('gas');
    expect(share(result)).toBeGreaterThanOrEqual(0.95);
    expect(result.causes[0].cause).toBe('gas-in-circuit');
    expect(result.causes.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 6);
  });

  it('finds a tenth less condenser water and names it first', async () => {
    const result = await assess('flow');
    expect(share(result)).toBeGreaterThanOrEqual(0.95);
    expect(result.causes[0]).toMatchObject({ cause: 'condenser-flow-low' });
    expect(result.plateaus[3].departures.condenserFlow_m3_s!.z).toBeLessThan(-5);
  });

  it('says that nothing can be learned from a log that is too short', async () => {
    await writeFile(
      join(folder, 'normal.csv'),
      'time_s,suction_pressure_kPa,suction_temperature_C\n0,300,8\n',
    );
    const result = await assess('again');
    expect(result.causes).toEqual([]);
    expect(result.normal).toBeNull();
    expect(result.warnings.join(' ')).toContain('0 plateaus of steady running');
    expect(result.plateaus.every(({ overLimit, distance }) => !overLimit && distance === null)).toBe(true);
  });
});
