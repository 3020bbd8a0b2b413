import { describe, expect, it } from 'vitest';
import type { CircuitSeries } from '@coldrounds/core';
import { simulateCircuit } from '@coldrounds/simulator';
import { findingsOf } from '../../score/assess-unit.js';
import { aboveWatch, inWords, unitCase } from '../../score/site-units.js';

/** A healthy unit whose columns are not what their names say. */
const simulated = simulateCircuit(unitCase(771, 0, 3));
const swapped = (a: keyof CircuitSeries, b: keyof CircuitSeries): Partial<CircuitSeries> => ({
  [a]: simulated.series[b],
  [b]: simulated.series[a],
});
const notSent = (...names: (keyof CircuitSeries)[]): Partial<CircuitSeries> =>
  Object.fromEntries(names.map((name) => [name, simulated.series[name].map(() => NaN)]));

const mistakes: Record<string, Partial<CircuitSeries>> = {
  'the two water thermometers are mixed up': swapped(
    'enteringWaterTemperature_K',
    'leavingWaterTemperature_K',
  ),
  'suction and discharge thermometers are mixed up': swapped(
    'suctionTemperature_K',
    'dischargeTemperature_K',
  ),
  'discharge and liquid thermometers are mixed up': swapped('dischargeTemperature_K', 'liquidTemperature_K'),
  'the suction thermometer is that of the liquid': {
    suctionTemperature_K: simulated.series.liquidTemperature_K,
  },
  'the suction thermometer is that of the leaving water': {
    suctionTemperature_K: simulated.series.leavingWaterTemperature_K,
  },
  'the suction thermometer is that of the entering water': {
    suctionTemperature_K: simulated.series.enteringWaterTemperature_K,
  },
  'the ambient is the discharge': { ambientTemperature_K: simulated.series.dischargeTemperature_K },
};
const controllers: Record<string, Partial<CircuitSeries>> = {
  'everything else': {},
  'no setpoint': notSent('superheatSetpoint_K'),
  'neither setpoint nor load nor opening': notSent(
    'superheatSetpoint_K',
    'compressorLoad_pct',
    'valveOpening_pct',
  ),
};

it('whose suction thermometer is that of the entering water is told so, and superheat is not judged by it', () => {
  const series = { ...simulated.series, suctionTemperature_K: simulated.series.enteringWaterTemperature_K };
  expect(findingsOf({ ...simulated, series }).map(({ condition }) => condition)).toEqual([
    'sensor-misplaced',
  ]);
});

describe.each(Object.entries(mistakes))('a healthy unit of which %s', (_, mistake) => {
  it.each(Object.entries(controllers))(
    'gives no more than something to watch (%s sent)',
    (_sent, missing) => {
      const series = { ...simulated.series, ...mistake, ...missing };
      expect(
        findingsOf({ ...simulated, series })
          .filter(aboveWatch)
          .map(inWords),
      ).toEqual([]);
    },
  );
});
