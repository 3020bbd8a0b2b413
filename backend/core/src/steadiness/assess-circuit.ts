import type { Hazard } from '../diagnosis/finding.js';
import { assessHunting } from '../hunting/hunting-assessment.js';
import { refrigerantFacts } from '../refrigerants/index.js';
import type { CircuitSeries } from '../telemetry/circuit-series.js';
import type { CircuitEntry } from '../telemetry/registry.js';
import { valveWearOf } from '../valve/wear.js';
import type { CircuitAssessment, FleetWear } from './circuit-assessment.js';
import { circuitFindings } from './findings/circuit-findings.js';
import { headroomOf } from './floor/headroom.js';
import { steadyFloorOf } from './floor/steady-floor.js';
import { summarise, summariseDays, summariseWeeks } from './windows/summaries.js';
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
  /** A recent trace; taken for the unit page's pictures only. */
  recent?: CircuitSeries;
}

const week_s = 7 * 86_400;

/** Everything that follows from a circuit's judged windows. Nothing is claimed where there is too little steady running. */
export function assessCircuit(input: AssessCircuitInput): CircuitAssessment {
  const windows = input.windows.filter((window) => window.sampleCount > 0);
  const last_s = windows.length > 0 ? windows[windows.length - 1].to_s : null;
  const week = windows.filter((window) => window.from_s >= last_s! - week_s);
  const earlier = windows.filter((window) => window.from_s < last_s! - week_s);
  const day = windows.filter((window) => window.from_s >= last_s! - 86_400);
  const floor = steadyFloorOf(windows);
  const headroom = headroomOf(floor, input.circuit.safetyMargin_K);
  const hunting = assessHunting(week, input.neighbours ?? [], floor);
  const wear = valveWearOf(week, input.fleet);
  const judged = week.reduce((sum, window) => sum + window.oscillation.judgedMinutes, 0);
  return {
    circuit: input.circuit.number,
    from_s: windows.length > 0 ? windows[0].from_s : null,
    to_s: last_s,
    windows: windows.length,
    summary: summarise(windows),
    days: summariseDays(windows),
    weeks: summariseWeeks(windows),
    floor,
    headroom,
    hunting,
    huntingKnown: judged >= 60,
    wear,
    findings: circuitFindings({
      circuit: input.circuit,
      refrigerantHazards: hazardsOf(input.refrigerant),
      week,
      earlier,
      neighbours: input.neighbours ?? [],
      day,
      hunting,
      headroom,
      wear,
    }),
  };
}

function hazardsOf(refrigerant: string): Hazard[] {
  const { flammable, toxic } = refrigerantFacts(refrigerant);
  return [...(flammable ? (['flammable'] as const) : []), ...(toxic ? (['toxic'] as const) : [])];
}
