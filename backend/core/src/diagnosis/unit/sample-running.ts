import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { saturated } from '../causes/sample-channels.js';

const ripple = (i: number, size: number, k = 1) => size * Math.sin(k * i * i + k);

/**
 * A circuit of R134a that runs on, a sample a minute, at loads from 55 to 85 % that change every two hours: condensing
 * 3 K over the leaving condenser water, evaporating 3 K under the chilled water, 6 K superheat, 5 K subcooling. `change`
 * alters samples afterwards.
 */
export function runningCircuit(
  hours: number,
  change: (series: CircuitSeries, i: number, hour: number) => void = () => undefined,
): CircuitSeries {
  const n = hours * 60;
  const series = emptyCircuitSeries(n);
  for (let i = 0; i < n; i++) {
    const block = Math.floor(i / 120);
    const load = 70 + 15 * Math.sin(1.9 * block);
    const part = load / 100;
    series.time_s[i] = 1_700_006_400 + 60 * i;
    series.compressorLoad_pct[i] = load + ripple(i, 0.05);
    series.enteringWaterTemperature_K[i] = 280 + 5 * part + ripple(i, 0.01, 2);
    series.leavingWaterTemperature_K[i] = 280 + ripple(i, 0.01, 3);
    series.condenserEnteringTemperature_K[i] = 300 + Math.cos(1.3 * block) + ripple(i, 0.01, 4);
    const leaving = series.condenserEnteringTemperature_K[i] + 5 * part;
    series.condenserLeavingTemperature_K[i] = leaving + ripple(i, 0.01, 5);
    const condensing = leaving + 3 * part;
    const evaporating = 280 - 3 * part;
    series.dischargePressure_Pa[i] = saturated(condensing + ripple(i, 0.02, 6));
    series.suctionPressure_Pa[i] = saturated(evaporating + ripple(i, 0.02, 7));
    series.suctionTemperature_K[i] = evaporating + 6 + ripple(i, 0.05, 8);
    series.dischargeTemperature_K[i] = condensing + 15 + ripple(i, 0.05, 9);
    series.liquidTemperature_K[i] = condensing - 5 + ripple(i, 0.03, 10);
    series.valveOpening_pct[i] = 60 * part + ripple(i, 0.1, 11);
    series.superheatSetpoint_K[i] = 6;
    series.waterFlow_m3_s[i] = 0.02;
    series.condenserFlow_m3_s[i] = 0.025;
    series.compressorPower_W[i] = 1e5 * part + ripple(i, 100, 12);
    change(series, i, i / 60);
  }
  return series;
}
