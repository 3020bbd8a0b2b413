import type { Finding } from '@coldrounds/core';
import { simulateCircuit, type CircuitCase, type SimulatedCircuit } from '@coldrounds/simulator';
import { findingsOf } from './assess-unit.js';
import { joined, unitCase } from './site-units.js';

/**
 * Where a suction sensor is found to be wrong by 2 K or more: whether floodback is then told as it is. What is true is the
 * simulator's own superheat: floodback where it is under the limit for 5 % of settled running or more, none under 1 %;
 * between the two either answer is right.
 */
export interface BiasScore {
  units: number;
  /** Units on which a bias of 2 K or more was found, of which the verdict on floodback was right. */
  found: number;
  right: number;
  wrong: string[];
}

const least_K = 2;
const settled_s = 900;
const busy = { base: 0.75, occupied: 0.12, perTenKelvin: 0.05, spread: 0.03 };

/** Biases of 2.5 to 6 K to either side on temperature and pressure in turn; the controller acts on them. */
function biasedCase(seed: number, unit: number, days: number): CircuitCase {
  const size_K = 2.5 + (unit % 8) * 0.5;
  const sign = Math.floor(unit / 2) % 2 === 0 ? 1 : -1;
  const base = unitCase(seed, unit, days);
  // A kelvin of saturation near 5 C is 12 kPa with the low-pressure refrigerants and 30 kPa with the high ones.
  const pressure_Pa_K = ['R410A', 'R454B', 'R32'].includes(base.refrigerant!) ? 30e3 : 12e3;
  return joined(base, {
    load: busy,
    faults: [
      unit % 2 === 0
        ? { kind: 'sensor-bias', sensor: 'suction-temperature', bias: sign * size_K }
        : { kind: 'sensor-bias', sensor: 'suction-pressure', bias: -sign * size_K * pressure_Pa_K },
    ],
  });
}

export function scoreBiased({ seed, units, days }: { seed: number; units: number; days: number }): BiasScore {
  const score: BiasScore = { units, found: 0, right: 0, wrong: [] };
  for (let unit = 0; unit < units; unit++) {
    const simulated = simulateCircuit(biasedCase(seed, unit, days));
    const findings = findingsOf(simulated);
    if (!findings.some(isLargeBias)) continue;
    score.found++;
    const true_ = wetFraction(simulated);
    const said = findings.some(({ condition }) => condition === 'floodback-risk');
    if (true_ >= 0.05 ? said : true_ < 0.01 ? !said : true) score.right++;
    else
      score.wrong.push(
        `unit ${unit}: under the limit for ${(100 * true_).toFixed(1)} % of settled running, ${said ? 'said' : 'not said'}`,
      );
  }
  return score;
}

/** Over 2 K in temperature, or in the saturation temperature of its pressure. */
function isLargeBias({ condition, subject, reasons, headline }: Finding): boolean {
  if (condition !== 'sensor-bias' || subject.kind !== 'sensor' || !subject.sensor.startsWith('suction'))
    return false;
  const off = [headline, ...reasons].flatMap(({ quantities }) => Object.values(quantities));
  return off.some(({ kind, value }) => kind === 'temperature-difference' && Math.abs(value) >= least_K);
}

/** Fraction of settled running with the true superheat under the limit. */
function wetFraction({ series, truth, entry }: SimulatedCircuit): number {
  const { time_s, compressorLoad_pct } = series;
  let started_s = -Infinity;
  let runs = false;
  let settled = 0;
  let under = 0;
  for (let i = 0; i < time_s.length; i++) {
    const on = compressorLoad_pct[i]! > 1;
    if (on && !runs) started_s = time_s[i]!;
    runs = on;
    if (!on || time_s[i]! - started_s < settled_s) continue;
    settled++;
    if (truth.superheat_K[i]! < entry.floodbackLimit_K) under++;
  }
  return settled > 0 ? under / settled : 0;
}
