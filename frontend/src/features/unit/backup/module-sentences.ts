import type { ModuleAssessment } from '../../../api/types.js';
import { count, decimals, formatDay, show } from '../../../quantities/format-quantity.js';
import type { Zone } from '../../../quantities/site-time.js';
import type { UnitSystem } from '../../../quantities/unit-system.js';

/** What is known of a module beside its reserve, each in a sentence; what is not known is said as such. */
export function moduleSentences(assessment: ModuleAssessment, system: UnitSystem, zone: Zone): string[] {
  const day = (epoch_s: number) => formatDay(epoch_s, zone);
  const sentences: string[] = [];
  const { forecast, proof, leakage, weakCell, charger, health, suddenChange } = assessment;
  if (proof.state === 'proven')
    sentences.push(
      `Proven: the valve was last seen to shut on stored energy on ${day(proof.lastProof_s)}, in a ${proof.kind.replace('power-loss', 'power loss')}.`,
    );
  if (forecast.state === 'forecast') {
    sentences.push(
      `It loses ${decimals(forecast.lossPerYear.p50 * 100, 0)} % of its stored energy a year (${decimals(forecast.lossPerYear.p10 * 100, 0)} to ${decimals(forecast.lossPerYear.p90 * 100, 0)} %).`,
    );
    for (const limit of forecast.limits) {
      const level = decimals(limit.limit, 1);
      if (limit.state === 'already-under') sentences.push(`The reserve is under ${level} already.`);
      else if (limit.state === 'beyond-horizon')
        sentences.push(
          `It is not forecast to fall under ${level} before ${day(forecast.horizon_s)}, where the forecast ends.`,
        );
      else if (limit.date_s)
        sentences.push(
          `It will fall under ${level} between ${day(limit.date_s.p10)} and ${limit.openEnded ? `some time after ${day(limit.date_s.p90)}` : day(limit.date_s.p90)}, most likely about ${day(limit.date_s.p50)}.`,
        );
    }
  }
  if (suddenChange)
    sentences.push(
      `It changed suddenly on ${day(suddenChange.at_s)}: the reserve went to ${decimals(suddenChange.reserveRatio * 100, 0)} % of what it was, confirmed by ${count(suddenChange.tests, 'test')}.`,
    );
  const drain = leakage.floatCurrent_A ?? leakage.decayCurrent_A;
  sentences.push(
    leakage.state === 'unknown'
      ? 'Its self-discharge is not known.'
      : `Its self-discharge is ${leakage.state === 'normal' ? 'normal' : 'too high'}: ${show(drain, 'current', system)}, limit ${show(leakage.limit_A, 'current', system)}${leakage.timeToUnable_s === null ? '' : `; without mains it can still close for ${show(leakage.timeToUnable_s, 'duration', system)}`}.`,
  );
  sentences.push(
    weakCell.state === 'suspected'
      ? `A weak cell is suspected${weakCell.cellsAffected === null ? '' : ` (${count(Math.round(weakCell.cellsAffected), 'cell')} of the string)`}.`
      : weakCell.state === 'none-seen'
        ? 'No sign of a weak cell.'
        : 'Too little data to say whether a cell is weak.',
  );
  sentences.push(
    charger.state === 'unknown'
      ? 'Too little data to say whether the charger reaches its voltage.'
      : `The charger ${charger.state === 'reaches' ? 'reaches its voltage' : 'does not reach its voltage'}: ${show(charger.voltage_V, 'voltage', system)}, target ${show(charger.target_V, 'voltage', system)}.`,
  );
  sentences.push(
    {
      good: 'Its health contact reads good.',
      fault: 'Its health contact signals a fault.',
      stuck: 'Its health contact never changes, so it does not show whether the module is good.',
      unknown: 'Its health contact is not known.',
    }[health.state],
  );
  return sentences;
}

/** A module's current at rest; as telemetry has it, positive while the module delivers. */
export function currentWords(current_A: number | null, units: UnitSystem): string {
  if (current_A === null) return 'current not sent';
  return `${current_A > 0 ? 'gives' : 'takes'} ${show(Math.abs(current_A), 'current', units)}`;
}
