import { failedToShut, worstAtRestart } from '@coldrounds/core';
import { judgeStoredClosing } from '../../assessment/module/judge-stored-closing.js';
import { fittedDischarge } from '../unit/module.service.js';
import { thinned } from '../thinned.js';
import {
  column,
  day_s,
  everyNth,
  moduleOf,
  named,
  nothing,
  type EvidenceContext,
} from './evidence-context.js';

const keptDays = 400;

async function assessed({ sources }: EvidenceContext, moduleId: number) {
  return (await sources.modules.assessments([moduleId])).get(moduleId)?.detail ?? null;
}

/** The newest closing with an estimate, beside the same discharge from a module with the value it had when new. */
export async function discharge(context: EvidenceContext) {
  const module = moduleOf(context)!;
  const { sources, unit, now_s } = context;
  const [detail, judged] = await Promise.all([
    assessed(context, module.id),
    sources.modules.judgements(module.id, now_s - keptDays * day_s),
  ]);
  const last = judged.findLast(({ capacitance_F }) => capacitance_F !== null);
  const closing = last && (await sources.modules.closing(module.id, last.startedAt_s));
  if (!closing || !last) return nothing('No closing is stored from which capacitance could be estimated.');
  const judgement = judgeStoredClosing(unit, module, closing);
  const whenNew_F = detail?.baseline.capacitance_F ?? module.entry.ratedCapacitance_F;
  const before_V = judgement.voltageBefore_V ?? module.entry.ratedVoltage_V;
  const asNew = fittedDischarge(closing.trace, {
    capacitance_F: whenNew_F,
    esr_Ohm: detail?.baseline.esr_Ohm ?? module.entry.ratedEsr_Ohm,
    voltageBefore_V: before_V,
  });
  const kept = everyNth(closing.trace.time_s.length, 300);
  return {
    kind: 'discharge' as const,
    module: module.number,
    startedAt_s: closing.startedAt_s,
    time_s: kept.map((index) => closing.trace.time_s[index]),
    voltage_V: column(kept.map((index) => closing.trace.voltage_V[index] ?? NaN)),
    voltageWhenNew_V: column(kept.map((index) => asNew.voltage_V[index] ?? NaN)),
    capacitance_F: judgement.capacitance_F,
    capacitanceWhenNew_F: whenNew_F,
    whenNewFrom: detail?.baseline.capacitance_F == null ? ('rated' as const) : detail.baseline.from,
    minimumVoltage_V: module.entry.minimumVoltage_V,
  };
}

/** The closing reserve over time and when it will meet its limits, where that is said. */
export async function reserve(context: EvidenceContext) {
  const module = moduleOf(context)!;
  const detail = await assessed(context, module.id);
  const points = thinned(detail?.reserveHistory ?? [], 120);
  if (detail === null || points.length === 0) return nothing('No closing gave a reserve yet.');
  const limits = detail.forecast.state === 'forecast' ? detail.forecast.limits : [];
  const cases = detail.reserve.state === 'known' ? detail.reserve.cases : [];
  const cold = cases.find(({ situation }) => situation === 'fully-open-coldest');
  return {
    kind: 'reserve' as const,
    module: module.number,
    time_s: points.map(({ time_s }) => time_s),
    reserve: column(points.map((point) => point.reserve)),
    // The present voltage is not quite that of the last closing: what the sentence says is the reserve now.
    now: named(context.finding, 'reserve') ?? cold?.reserve ?? null,
    limits: limits.flatMap(({ limit, date_s, openEnded }) =>
      date_s === null || openEnded
        ? []
        : [{ limit, p10_s: date_s.p10, p50_s: date_s.p50, p90_s: date_s.p90 }],
    ),
    suddenAt_s: detail.suddenChange?.at_s ?? null,
  };
}

/** The closing that did not shut the valve, or the newest one; without a closing, the loss of mains itself. */
export async function closing(context: EvidenceContext) {
  const module = moduleOf(context)!;
  const { sources, finding, now_s } = context;
  const judged = await sources.modules.judgements(module.id, now_s - keptDays * day_s);
  const at_s = named(finding, 'at') ?? (judged.findLast(failedToShut) ?? judged.at(-1))?.startedAt_s;
  const stored =
    at_s === undefined ? null : await sources.modules.closingWithin(module.id, at_s - 180, at_s + 180);
  if (stored === null) return powerLoss(context);
  const kept = everyNth(stored.trace.time_s.length, 300);
  return {
    kind: 'closing' as const,
    module: module.number,
    startedAt_s: stored.startedAt_s,
    time_s: kept.map((index) => stored.trace.time_s[index]),
    valveOpening_pct: column(kept.map((index) => stored.trace.valveOpening_pct[index] ?? NaN)),
    voltage_V: column(kept.map((index) => stored.trace.voltage_V[index] ?? NaN)),
    minimumVoltage_V: module.entry.minimumVoltage_V,
  };
}

/** The loss of mains nearest to when the finding was first seen, on the circuit that it left worst off. */
export async function powerLoss(context: EvidenceContext) {
  const module = moduleOf(context)!;
  const { sources, unit, finding } = context;
  const reviews = await sources.modules.reviews([module.id]);
  const at_s = named(finding, 'at') ?? finding.firstSeen_s;
  const nearest = reviews
    .filter(({ from_s }) => from_s <= at_s + 3600)
    .sort((a, b) => Math.abs(a.from_s - at_s) - Math.abs(b.from_s - at_s))[0];
  if (nearest === undefined)
    return nothing('Neither a closing nor a loss of mains is stored from this time.');
  const replay = await sources.losses.replay({ site: unit.site.key, unit: unit.key }, nearest.from_s);
  const worst = worstAtRestart(nearest.circuits);
  const circuit = replay.circuits.find(({ circuit }) => circuit === worst?.circuit) ?? replay.circuits[0];
  if (circuit === undefined || circuit.time_s.length === 0)
    return nothing('The readings around the loss of mains are no longer stored.');
  const kept = everyNth(circuit.time_s.length);
  const ofModule = everyNth(replay.backup.time_s.length);
  return {
    kind: 'power-loss' as const,
    module: module.number,
    from_s: nearest.from_s,
    to_s: nearest.to_s,
    circuit: circuit.circuit,
    time_s: kept.map((index) => circuit.time_s[index]),
    superheat_K: kept.map((index) => circuit.superheat_K[index]),
    valveOpening_pct: kept.map((index) => circuit.valveOpening_pct[index]),
    floodbackLimit_K: circuit.floodbackLimit_K,
    restartAt_s: worst?.restartAt_s ?? null,
    restartLowest_K: worst?.restartLeastSuperheat_K ?? null,
    moduleTime_s: ofModule.map((index) => replay.backup.time_s[index]),
    voltage_V: ofModule.map((index) => replay.backup.voltage_V[index]),
  };
}

/** Voltage, current and health contact of the resting module over the finding's last week. */
export async function resting(context: EvidenceContext) {
  const module = moduleOf(context)!;
  const to_s = context.finding.lastSeen_s + 60;
  const [bins, detail] = await Promise.all([
    context.sources.series.bins('backup', module.id, to_s - 7 * day_s, to_s, 1800),
    assessed(context, module.id),
  ]);
  if (bins.time_s.length === 0) return nothing('The readings of the module are no longer stored.');
  return {
    kind: 'resting' as const,
    module: module.number,
    time_s: [...bins.time_s],
    voltage_V: column(bins.voltage),
    current_A: column(bins.current),
    health: column(bins.health),
    ratedVoltage_V: module.entry.ratedVoltage_V,
    minimumVoltage_V: module.entry.minimumVoltage_V,
    floatLimit_A: detail?.leakage.limit_A ?? null,
  };
}
