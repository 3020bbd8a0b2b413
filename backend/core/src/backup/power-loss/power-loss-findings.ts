import { quantity, statement, type Finding, type Hazard, type Statement } from '../../diagnosis/index.js';
import type { CircuitEntry, ModuleEntry } from '../../telemetry/index.js';
import { dischargeFirst, moduleFinding } from '../findings/index.js';
import { verdictOf, type LossFacts } from './power-loss-verdict.js';
import { worstAtRestart } from './restart.js';

/**
 * So long under the floodback limit within the ten minutes is a finding: two samples of the usual telemetry. The sensor
 * on the pipe lags, so the liquid itself came for longer.
 */
export const floodbackLasts_s = 20;

/**
 * Findings of one loss. `told`: that the valve did not shut is reported elsewhere, or has been put right since.
 */
export function lossFindings(
  module: ModuleEntry,
  entries: readonly CircuitEntry[],
  review: LossFacts,
  hazards: Hazard[],
  told: boolean,
): Finding[] {
  return [
    ...(review.shut === false && !told ? [didNotShut(module, review, hazards)] : []),
    ...floodbackFindings(module, entries, review, hazards),
  ];
}

function didNotShut(module: ModuleEntry, review: LossFacts, hazards: Hazard[]): Finding {
  const at = quantity('instant', review.from_s);
  const lastSeen_s = review.to_s ?? review.from_s;

  const reasons: Statement[] = [verdictOf(review)];
  if (review.voltageBefore_V !== null && review.voltageAfter_V !== null)
    reasons.push(
      statement('Module voltage went from {before} to {after}.', {
        before: quantity('voltage', review.voltageBefore_V),
        after: quantity('voltage', review.voltageAfter_V),
      }),
    );
  for (const circuit of review.circuits) {
    if (circuit.pressureMet_s === null) continue;
    reasons.push(
      statement('High and low pressure of circuit {circuit} equalised within {time}.', {
        circuit: quantity('count', circuit.circuit),
        time: quantity('duration', circuit.pressureMet_s),
      }),
    );
  }
  return moduleFinding(module, {
    condition: 'did-not-shut',
    headline: statement('Valve did not shut at the power loss of {at}.', { at }),
    reasons,
    certainty: review.closingSent ? 'certain' : 'likely',
    urgency: 'today',
    score: 90,
    waiting: statement('At the next power loss refrigerant can drift through the open valve again.'),
    separatingCheck: statement('Ask the site for a self-test at standstill and see whether the valve shuts.'),
    visit: [
      statement('Check module, wiring and valve motor; then run a closing and see that the valve shuts.'),
      dischargeFirst,
    ],
    hazards,
    firstSeen_s: review.from_s,
    lastSeen_s,
  });
}

function floodbackFindings(
  module: ModuleEntry,
  entries: readonly CircuitEntry[],
  review: LossFacts,
  hazards: Hazard[],
): Finding[] {
  const findings: Finding[] = [];
  const at = quantity('instant', review.from_s);
  const lastSeen_s = review.to_s ?? review.from_s;
  const worst = worstAtRestart(review.circuits);
  if (worst && worst.restartUnderFloodback_s! >= floodbackLasts_s) {
    const limit = entries.find((entry) => entry.number === worst.circuit)!.floodbackLimit_K;
    findings.push(
      moduleFinding(module, {
        condition: 'floodback-at-restart',
        headline: statement(
          'Liquid may have reached the compressor at the restart after the power loss of {at}.',
          {
            at,
          },
        ),
        reasons: [
          statement(
            'In the first ten minutes superheat of circuit {circuit} was below {limit} for {time}; the lowest was {lowest}.',
            {
              circuit: quantity('count', worst.circuit),
              limit: quantity('temperature-difference', limit),
              time: quantity('duration', worst.restartUnderFloodback_s!),
              lowest: quantity('temperature-difference', worst.restartLeastSuperheat_K!),
            },
          ),
          review.shut === false
            ? statement('The valve had not shut.')
            : review.shut
              ? statement(
                  'The valve had shut, so the liquid came another way or the valve opened too far too soon.',
                )
              : statement('Whether the valve had shut is not known.'),
        ],
        certainty: 'likely',
        urgency: 'this-week',
        score: 65,
        waiting: statement('Each such restart dilutes the oil and can damage the compressor.'),
        visit: [statement('Check oil level and oil condition, and crankcase heating.'), dischargeFirst],
        hazards: [...hazards, 'rotating-parts'],
        firstSeen_s: worst.restartAt_s ?? review.from_s,
        lastSeen_s: worst.restartAt_s ?? lastSeen_s,
      }),
    );
  }
  return findings;
}
