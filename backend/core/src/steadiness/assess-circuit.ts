import type { Hazard } from '../diagnosis/finding.js';
import { notJudgedOn, withoutNotJudged, type SensorVerdict } from '../diagnosis/not-judged.js';
import { assessHunting } from '../hunting/hunting-assessment.js';
import { refrigerantFacts } from '../refrigerants/index.js';
import type { CircuitSeries } from '../telemetry/circuit-series.js';
import type { CircuitEntry, EvaporatorType } from '../telemetry/registry.js';
import { valveWearOf } from '../valve/wear.js';
import type { CircuitAssessment, FleetWear } from './circuit-assessment.js';
import { correctedLevel } from './correction/corrected-level.js';
import { circuitFindings } from './findings/circuit-findings.js';
import { headroomOf } from './floor/headroom.js';
import { steadyFloorOf } from './floor/steady-floor.js';
import { lastDaysFrom_s, summarise, summariseDays, summariseWeeks } from './windows/summaries.js';
import type { WindowJudgement } from './windows/window-judgement.js';

export interface AssessCircuitInput {
  /** In time order, the last weeks. */
  windows: readonly WindowJudgement[];
  refrigerant: string;
  circuit: CircuitEntry;
  /** Windows of the unit's other circuits, same span. */
  neighbours?: readonly (readonly WindowJudgement[])[];
  /** Daily travel and reversals of the fleet's circuits. */
  fleet?: FleetWear;
  /** Default `dry-expansion`; the others are judged by the discharge, not by suction superheat. */
  evaporator?: EvaporatorType | undefined;
  /** Open findings on the sensors of the unit: what they measured is corrected, what they leave open is not judged. */
  sensors?: readonly SensorVerdict[];
  /** When the circuit went into service, s since the epoch; the life of its valve is counted from there. */
  inServiceSince_s?: number | undefined;
  /** A recent trace; taken for the unit page's pictures only. */
  recent?: CircuitSeries;
}

/**
 * Everything that follows from a circuit's judged windows. Nothing is claimed where there is too little steady running,
 * nor what depends on a sensor that is found wrong, unless its error was measured: then it is corrected. Summaries are of
 * the figures as read.
 */
export function assessCircuit(input: AssessCircuitInput): CircuitAssessment {
  const windows = input.windows.filter((window) => window.sampleCount > 0);
  const last_s = windows.length > 0 ? windows[windows.length - 1].to_s : null;
  const weekFrom_s = lastDaysFrom_s(last_s ?? 0, 7);
  const week = windows.filter((window) => window.from_s >= weekFrom_s);
  const earlier = windows.filter((window) => window.from_s < weekFrom_s);
  const day = windows.filter((window) => window.from_s >= last_s! - 86_400);
  const sensors = input.sensors ?? [];
  const evaporator = input.evaporator ?? 'dry-expansion';
  const notJudged = notJudgedOn(sensors, input.circuit.number);
  const asRead = notJudgedOn(sensors, input.circuit.number, 'as-read');
  // A superheat that is read wrong has no floor, and one that was corrected was so for an unknown time only.
  const floorKnown = evaporator === 'dry-expansion' && !asRead.superheatLevel;
  const floor = floorKnown ? steadyFloorOf(windows) : null;
  const headroom = headroomOf(floor, input.circuit.safetyMargin_K);
  const hunting = assessHunting(week, input.neighbours ?? [], floor, floorKnown);
  const wear = valveWearOf(week, input.circuit.valve, {
    fleet: input.fleet,
    inServiceFor_s: last_s !== null ? last_s - (input.inServiceSince_s ?? NaN) : NaN,
  });
  const judged = week.reduce((sum, window) => sum + window.oscillation.judgedMinutes, 0);
  return {
    circuit: input.circuit.number,
    from_s: windows.length > 0 ? windows[0].from_s : null,
    to_s: last_s,
    windows: windows.length,
    summary: summarise(windows),
    lastWeek: summarise(week, { from_s: weekFrom_s, to_s: last_s ?? 0 }),
    days: summariseDays(windows),
    weeks: summariseWeeks(windows),
    floor,
    headroom,
    hunting,
    huntingKnown: judged >= 60,
    wear,
    findings: withoutNotJudged(
      circuitFindings({
        circuit: input.circuit,
        refrigerant: input.refrigerant,
        evaporator,
        dischargeSuperheatKnown: !notJudged.dischargeSuperheat,
        level: correctedLevel({ week, day, earlier }, input.refrigerant, input.circuit, sensors),
        refrigerantHazards: hazardsOf(input.refrigerant),
        week,
        earlier,
        neighbours: input.neighbours ?? [],
        day,
        hunting,
        headroom,
        wear,
      }),
      notJudged,
    ),
  };
}

function hazardsOf(refrigerant: string): Hazard[] {
  const { flammable, toxic } = refrigerantFacts(refrigerant);
  return [...(flammable ? (['flammable'] as const) : []), ...(toxic ? (['toxic'] as const) : [])];
}
