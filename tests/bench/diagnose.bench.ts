import { diagnoseUnit } from '@coldrounds/core';
import { simulateCircuit } from '@coldrounds/simulator';

/** The whole diagnosis of a unit of two circuits from 14 days of samples 10 s apart. */
const required_s = 1.5;
const { unit, series, neighbours } = simulateCircuit({ seed: 1400, days: 14, circuits: 2 });
const input = { unit, altitude_m: 0, circuits: [series, ...neighbours] };
diagnoseUnit({ ...input, until_s: series.time_s[0] + 86_400 });

// Cores may be shared with other work: processor time is judged, of the best of eight runs.
const times: number[] = [];
let last = diagnoseUnit(input);
for (let i = 0; i < 8; i++) {
  const before = process.cpuUsage();
  last = diagnoseUnit(input);
  const used = process.cpuUsage(before);
  times.push((used.user + used.system) / 1e6);
}
const best_s = Math.min(...times);
console.log(
  `diagnoseUnit, 14 days of two circuits (${2 * series.time_s.length} samples, ${last.findings.length} findings): ` +
    `${best_s.toFixed(2)} s of processor (required < ${required_s} s); all runs ${times.map((t) => t.toFixed(2)).join(', ')} s`,
);
if (!(best_s < required_s)) process.exit(1);
