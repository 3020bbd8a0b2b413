import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../numerics/index.js';
import { emptyCircuitSeries } from '../../telemetry/circuit-series.js';
import { runningFlags } from './running-state.js';
import { readsAmbient, readsAnotherPlace } from './reads-another-place.js';

const step_s = 30;
/** Two days at 30 s: the unit stands from 0 to 6 h in a room at 297 K, and its evaporator is starved all day. */
function days(suction: 'pipe' | 'water' | 'beside the water') {
  const normal = normalDraws(seededRandom(71));
  const rows = (2 * 86_400) / step_s;
  const series = emptyCircuitSeries(rows);
  let pipe_K = 290;
  let water_K = 290;
  for (let i = 0; i < rows; i++) {
    const at_s = i * step_s;
    const hour = (at_s / 3600) % 24;
    const runs = hour >= 6;
    water_K += ((runs ? 285.5 + Math.sin(at_s / 9000) : 295) - water_K) * (step_s / 3000);
    // Starved: the vapour takes the temperature of the water that enters but for 0.6 K; at rest the pipe takes the room's.
    pipe_K += ((runs ? water_K - 0.6 : 297) - pipe_K) * (step_s / (runs ? 90 : 900));
    if (runs && hour < 6.1) pipe_K += (278 - pipe_K) * (step_s / 60);
    series.time_s[i] = at_s;
    series.compressorLoad_pct[i] = runs ? 70 : 0;
    series.enteringWaterTemperature_K[i] = water_K + 0.03 * normal();
    series.leavingWaterTemperature_K[i] =
      (runs ? 280 + 0.3 * Math.sin(at_s / 5000) : water_K) + 0.03 * normal();
    series.ambientTemperature_K[i] = 297 + 2 * Math.sin(at_s / 14_000);
    series.suctionTemperature_K[i] =
      (suction === 'pipe'
        ? pipe_K
        : suction === 'water'
          ? series.enteringWaterTemperature_K[i]
          : water_K + 0.4) +
      0.03 * normal();
  }
  return series;
}
const found = (suction: Parameters<typeof days>[0]) => {
  const series = days(suction);
  return readsAnotherPlace(series, runningFlags(series), 0);
};

describe('a suction sensor', () => {
  it.each(['water', 'beside the water'] as const)('that is %s is told by its never leaving it', (suction) => {
    const one = found(suction)!;
    expect(one.place).toBe('entering water');
    expect(one.changes).toBe(3);
    expect(Math.abs(one.offset_K)).toBeLessThan(0.5);
    expect(one.range_K).toBeGreaterThan(5);
  });

  it('of a starved evaporator follows the entering water with a slope of one, but not through starts and stops', () => {
    expect(found('pipe')).toBeNull();
  });

  it('of a flooded evaporator is about as warm as the water that leaves, and is not taken for that', () => {
    const series = days('pipe');
    const normal = normalDraws(seededRandom(72));
    // 0.3 K to either side of it at changing loads, and the shell keeps the water's temperature at rest.
    series.suctionTemperature_K.set(
      series.leavingWaterTemperature_K.map(
        (water_K, i) => water_K + 0.3 * Math.sin(i / 300) + 0.03 * normal(),
      ),
    );
    expect(readsAnotherPlace(series, runningFlags(series), 0)).toBeNull();
    series.suctionTemperature_K.set(series.leavingWaterTemperature_K);
    expect(readsAnotherPlace(series, runningFlags(series), 0)!.place).toBe('leaving water');
  });

  it('that hangs in the air reads the ambient, and is only taken for its sensor where it shows the same to the last digit', () => {
    const series = days('pipe');
    const normal = normalDraws(seededRandom(73));
    const flags = runningFlags(series);
    expect(readsAmbient('R134a', series, flags, 0)).toBe(false);
    series.suctionTemperature_K.set(
      series.ambientTemperature_K.map((ambient_K) => ambient_K + 0.1 * normal()),
    );
    expect(readsAmbient('R134a', series, flags, 0)).toBe(true);
    expect(readsAnotherPlace(series, flags, 0)).toBeNull();
    series.suctionTemperature_K.set(series.ambientTemperature_K);
    expect(readsAnotherPlace(series, flags, 0)!.place).toBe('ambient');
  });

  it('is not judged without a start and a stop', () => {
    const series = days('water');
    series.compressorLoad_pct.fill(70);
    expect(readsAnotherPlace(series, runningFlags(series), 0)).toBeNull();
  });
});
