import { finishFinding, quantity, statement, type Finding, type FindingDraft } from '@coldrounds/core';

export interface SilenceLimits {
  /** Nothing for so long is worth knowing. */
  watch_s: number;
  /** Nothing for so long and someone should look. */
  call_s: number;
}

export const silenceLimits: SilenceLimits = { watch_s: 12 * 60, call_s: 6 * 3600 };

/** What is sent on change may pause for long; where the spacing of readings is not known, half an hour is waited. */
const onChange_s = 3600;
const unknown_s = 30 * 60;
/** So many times its usual spacing a unit may be late, up to two hours. */
const spacings = 20;
const longest_s = 2 * 3600;

/** Seconds without a reading after which the unit is called silent. The project's own choice. */
export function silentAfter_s({ interval_s, reporting }: SilentUnit, limits = silenceLimits): number {
  const usual_s = interval_s == null ? unknown_s : Math.min(spacings * interval_s, longest_s);
  return Math.max(limits.watch_s, usual_s, reporting === 'on-change' ? onChange_s : 0);
}

export interface SilentUnit {
  /** Time of the newest reading of any circuit; null: none ever came. */
  newestReading_s: number | null;
  /** The gateway's own word; null: it never said. */
  online: boolean | null;
  onlineSince_s: number | null;
  circuits: number;
  /** Usual spacing of its readings; null or left out: not known. */
  interval_s?: number | null;
  /** How its gateway sends, as the registry has it; null or left out: not known. */
  reporting?: 'sampled' | 'on-change' | null;
}

/**
 * A unit that sends nothing cannot be judged, and that itself is a finding. Limits are the project's own choice.
 * Returns null where telemetry is fresh.
 */
export function silenceFinding(unit: SilentUnit, now_s: number, limits = silenceLimits): Finding | null {
  const { newestReading_s } = unit;
  const silent_s = newestReading_s === null ? null : now_s - newestReading_s;
  if (silent_s !== null && silent_s < silentAfter_s(unit, limits)) return null;
  const long = silent_s === null || silent_s >= limits.call_s;
  const gatewaySaysOffline = unit.online === false;
  // What the gateway itself reports makes one cause likelier than the other. Judgement, no source.
  const networkWeight = gatewaySaysOffline ? 0.8 : unit.online === true ? 0.2 : 0.5;
  const draft: FindingDraft = {
    condition: 'no-telemetry',
    headline:
      silent_s === null
        ? statement('This unit has never sent telemetry.')
        : statement('No telemetry for {silence}.', { silence: quantity('duration', silent_s) }),
    reasons: [
      newestReading_s === null
        ? statement('None of the {circuits} circuits in the registry has sent a reading.', {
            circuits: quantity('count', unit.circuits),
          })
        : statement('The last reading was at {last}.', { last: quantity('instant', newestReading_s) }),
      ...(gatewaySaysOffline
        ? [
            unit.onlineSince_s === null
              ? statement('The site gateway is disconnected.')
              : statement('The site gateway has been disconnected since {since}.', {
                  since: quantity('instant', unit.onlineSince_s),
                }),
          ]
        : unit.online === true
          ? [statement('The site gateway is connected, so the fault is between it and the controller.')]
          : []),
    ],
    explanations: [
      {
        cause: 'site network or gateway down',
        weight: networkWeight,
        supports: gatewaySaysOffline ? [statement('The broker reports the gateway as disconnected.')] : [],
        contradicts: unit.online === true ? [statement('The gateway reports that it is connected.')] : [],
      },
      {
        cause: 'controller without power or its data line interrupted',
        weight: 1 - networkWeight,
        supports:
          unit.online === true ? [statement('The gateway is connected, but the unit sends nothing.')] : [],
        contradicts: [],
      },
    ],
    separatingCheck: statement(
      'Check whether other units on the same gateway are sending. If they are, check the controller and its data line; if none is, check the gateway and the site network.',
    ),
    certainty: 'certain',
    urgency: long ? 'this-week' : 'watch',
    score: long ? 30 : 5,
    waiting: statement('While it sends nothing, floodback, hunting and a weak backup module go unnoticed.'),
    visit: [statement('Check the supply and the data line of the controller and the gateway.')],
  };
  return finishFinding(draft, {
    subject: { kind: 'unit' },
    hazards: ['live-parts'],
    firstSeen_s: newestReading_s ?? now_s,
    lastSeen_s: now_s,
  });
}
