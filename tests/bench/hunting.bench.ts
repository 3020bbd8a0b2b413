import {
  detectOscillation,
  emptyCircuitSeries,
  judgeWindow,
  saturationPressure,
  type CircuitEntry,
  type CircuitSeries,
} from '@coldrounds/core';
import { seededRandom } from '@coldrounds/core/numerics';

/** Full judgement of a window on one core. The best of 200 batches is printed, since other work may share the core. */
const circuit: CircuitEntry = {
  number: 1,
  valve: { size: 'kv-10', kv_m3_h: 10, fullStroke_steps: 3800, rate_steps_s: 630, motors: 1 },
  suctionPressure: { minimum: 0, maximum: 1.6e6, tolerance: 8000, reference: 'absolute' },
  dischargePressure: { minimum: 0, maximum: 2.5e6, tolerance: 12_500, reference: 'absolute' },
  suctionTemperature: { minimum: 223.15, maximum: 373.15, tolerance: 0.3 },
  dischargeTemperature: { minimum: 233.15, maximum: 423.15, tolerance: 1 },
  liquidTemperature: { minimum: 233.15, maximum: 373.15, tolerance: 0.5 },
  floodbackLimit_K: 2,
  safetyMargin_K: 1,
};

const uniform = seededRandom(1);

/** A hunting circuit with noise on every column: the costliest case, as every step of the judgement runs. */
function series(samples: number): CircuitSeries {
  const s = emptyCircuitSeries(samples);
  for (let i = 0; i < samples; i++) {
    const angle = (2 * Math.PI * i * 10) / 190;
    const noise = () => uniform() - 0.5;
    const evaporating_K = 276 + 0.4 * Math.sin(angle + 1) + 0.05 * noise();
    s.time_s[i] = 1.7e9 + 10 * i;
    s.suctionPressure_Pa[i] = saturationPressure('R134a', evaporating_K, 'dew');
    s.suctionTemperature_K[i] = evaporating_K + 6 + 1.5 * Math.sin(angle) + 0.5 * noise();
    s.valveOpening_pct[i] = 45 + 5 * Math.sin(angle + 2.5) + 0.1 * noise();
    s.dischargePressure_Pa[i] = 1e6 + 2000 * noise();
    s.dischargeTemperature_K[i] = 330 + noise();
    s.liquidTemperature_K[i] = 308 + 0.2 * noise();
    s.superheatSetpoint_K[i] = 6;
    s.compressorLoad_pct[i] = 70 + noise();
    s.enteringWaterTemperature_K[i] = 285 + 0.1 * noise();
    s.leavingWaterTemperature_K[i] = 280 + 0.1 * noise();
    s.ambientTemperature_K[i] = 300 + noise();
  }
  return s;
}

function best(samples: number, repeats: number): number {
  const one = series(samples);
  let least = Infinity;
  for (let batch = 0; batch < 200; batch++) {
    const start = performance.now();
    for (let i = 0; i < repeats; i++) {
      const judgement = judgeWindow({ series: one, refrigerant: 'R134a', circuit });
      if (!judgement.oscillation.oscillating) throw new Error('the bench series must be found hunting');
    }
    least = Math.min(least, (performance.now() - start) / repeats);
  }
  return least;
}

const results: [string, number, number][] = [
  ['judgement of 2 h at 10 s', best(720, 5), 1.5],
  ['judgement of 24 h at 10 s', best(8640, 1), 20],
];
let missed = false;
for (const [name, value, required] of results) {
  console.log(`${name}: ${value.toFixed(2)} ms (required < ${required} ms)`);
  if (!(value < required)) missed = true;
}
const value = series(720).suctionTemperature_K;
const time_s = series(720).time_s;
const start = performance.now();
for (let i = 0; i < 500; i++) detectOscillation({ time_s, value });
console.log(
  `oscillation verdict on 720 samples: ${((performance.now() - start) / 500).toFixed(2)} ms (no requirement)`,
);
process.exit(missed ? 1 : 0);
