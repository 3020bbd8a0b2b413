/** How many saturation temperatures a second, and how long all refrigerants take to load, on one core. */
import { spawnSync } from 'node:child_process';
import * as core from '@coldrounds/core/refrigerants';

/** Import and decoding of every table in a fresh process, ms; best of seven, since other work only ever adds to it. */
function loadTime_ms(): number {
  const program = `
    const start = performance.now();
    const core = await import(${JSON.stringify(import.meta.resolve('@coldrounds/core/refrigerants'))});
    for (const name of core.refrigerantNames()) core.saturationPressure(name, 280, 'dew');
    console.log(performance.now() - start);`;
  const times = Array.from({ length: 7 }, () => {
    const { stdout } = spawnSync(process.execPath, ['--input-type=module', '--eval', program]);
    return Number(stdout.toString());
  });
  return Math.min(...times);
}

const load_ms = loadTime_ms();
const pressures = Float64Array.from({ length: 4096 }, (_, i) => 1e5 + 150 * i);
const rounds = 2000;

/** Best of five, in million calls a second: a shared machine only ever slows a run down. */
function rate(temperature: (pressure_Pa: number) => number): { rate_M_s: number; growth_bytes: number } {
  let best = 0;
  let growth = Infinity;
  let sum = 0;
  for (let trial = 0; trial < 5; trial++) {
    const heap = process.memoryUsage().heapUsed;
    const start = performance.now();
    for (let k = 0; k < rounds; k++) {
      for (let i = 0; i < pressures.length; i++) sum += temperature(pressures[i]);
    }
    const elapsed_ms = performance.now() - start;
    growth = Math.min(growth, process.memoryUsage().heapUsed - heap);
    best = Math.max(best, (rounds * pressures.length) / elapsed_ms / 1e3);
  }
  if (!(sum > 0)) throw new Error('no temperature computed');
  return { rate_M_s: best, growth_bytes: growth };
}

const plain = rate((pressure_Pa) => core.saturationTemperature('R407C', pressure_Pa, 'dew'));
const bound = rate(core.saturationCurve('R407C', 'dew').temperature);
const perCall = Math.max(0, plain.growth_bytes) / (rounds * pressures.length);

const lines: [string, number, string, boolean][] = [
  ['load all twenty-two refrigerants', load_ms, 'ms (required < 50)', load_ms < 50],
  ['saturation temperatures by name', plain.rate_M_s, 'million/s (required >= 10)', plain.rate_M_s >= 10],
  [
    'saturation temperatures by bound curve',
    bound.rate_M_s,
    'million/s (required >= 10)',
    bound.rate_M_s >= 10,
  ],
  ['heap growth per call', perCall, 'byte (required < 0.5)', perCall < 0.5],
];
for (const [name, value, unit, met] of lines) {
  console.log(`${name}: ${value.toFixed(1)} ${unit}${met ? '' : ' MISSED'}`);
}
process.exitCode = lines.every(([, , , met]) => met) ? 0 : 1;
