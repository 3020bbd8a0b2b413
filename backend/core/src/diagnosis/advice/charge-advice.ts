import type { CircuitNormal } from '../../normal/learning/circuit-normal.js';
import type { PlateauDepartures } from '../../normal/departures/departures.js';
import { meanDepartures } from '../../normal/departures/mean-departures.js';
import { quantity, statement } from '../statement.js';
import type { Advice } from './advice.js';

/**
 * By how much subcooling is over or under what this circuit had at the same conditions: what charging, or taking out, has to
 * bring back. The mass is not known from telemetry (it depends on the condenser's build): it is weighed in or out until
 * subcooling is back. Null where subcooling is not judged, or within its uncertainty of normal.
 */
export function chargeAdvice(
  normal: CircuitNormal,
  over: readonly PlateauDepartures[],
  cause: 'missing-refrigerant' | 'excess-refrigerant',
): Advice | null {
  const mean = meanDepartures(normal, over);
  const place = mean?.order.indexOf('subcooling_K') ?? -1;
  if (mean === null || place < 0) return null;
  const off = mean.difference[place];
  const uncertainty = Math.sqrt(mean.covariance.get(place, place));
  const missing = cause === 'missing-refrigerant';
  if (!((missing ? -off : off) > 2 * uncertainty)) return null;
  const by = Math.abs(off);
  return {
    change: 'charge',
    sentence: statement(
      missing
        ? 'Subcooling is {by} (± {uncertainty}) under what this circuit had at the same load and water temperatures: the charge that brings it back is missing.'
        : 'Subcooling is {by} (± {uncertainty}) over what this circuit had at the same load and water temperatures: the charge that brings it back is too much.',
      {
        by: quantity('temperature-difference', by),
        uncertainty: quantity('temperature-difference', 2 * uncertainty),
      },
    ),
    basis: statement(
      'From {plateaus} plateaus. Refrigerant is handled by licensed people only, weighed, and after a search for a leak; how many kilograms that is depends on the condenser.',
      { plateaus: quantity('count', mean.plateaus) },
    ),
    figures: {
      subcooling: { value: by, low: by - 2 * uncertainty, high: by + 2 * uncertainty, unit: 'K' },
    },
  };
}
