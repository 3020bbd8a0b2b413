import type { Finding } from '@coldrounds/core';
import type { FleetUnit } from '../../registry/fleet.js';
import type { EvidenceRepository } from '../../storage/repositories/evidence.repository.js';
import type { ModuleRepository } from '../../storage/repositories/module.repository.js';
import { thinned } from '../thinned.js';

export interface CircuitEvidence {
  circuit: number;
  time_s: number[];
  superheat_K: (number | null)[];
  valveOpening_pct: (number | null)[];
  floodbackLimit_K: number;
}

export interface ModuleEvidence {
  module: number;
  time_s: number[];
  reserve: (number | null)[];
}

export interface RowEvidence {
  evidence: CircuitEvidence[];
  moduleEvidence: ModuleEvidence[];
}

const most = 120;

/** A small drawing shows no more: 0.01 K of superheat, 0.1 % of opening, 0.001 of the reserve. */
const rounded = (digits: number) => (value: number) =>
  Number.isFinite(value) ? Number(value.toFixed(digits)) : null;

/** What is drawn beside each row: what its first finding is about, and on a unit its first circuit. */
export async function evidenceOf(
  rows: readonly { unit: FleetUnit; findings: readonly Finding[] }[],
  asOf_s: number,
  { evidence, modules }: { evidence: EvidenceRepository; modules: ModuleRepository },
): Promise<RowEvidence[]> {
  const drawn = rows.map(({ unit, findings: [{ subject }] }) => ({
    circuits:
      subject.kind === 'module'
        ? []
        : subject.kind === 'unit'
          ? unit.circuits.slice(0, 1)
          : unit.circuits.filter(({ number }) => number === subject.circuit),
    modules: subject.kind === 'module' ? unit.modules.filter(({ number }) => number === subject.module) : [],
  }));
  const [traces, histories] = await Promise.all([
    evidence.lastDay(
      drawn.flatMap(({ circuits }) => circuits.map(({ id }) => id)),
      asOf_s,
    ),
    modules.reserveHistories(drawn.flatMap((row) => row.modules.map(({ id }) => id))),
  ]);
  const traceOf = new Map(traces.map((trace) => [trace.circuitId, trace]));
  return drawn.map((row) => ({
    evidence: row.circuits.flatMap(({ id, number, entry }) => {
      const trace = traceOf.get(id);
      if (trace === undefined) return [];
      return {
        circuit: number,
        time_s: [...trace.time_s],
        superheat_K: Array.from(trace.superheat_K, rounded(2)),
        valveOpening_pct: Array.from(trace.valveOpening_pct, rounded(1)),
        floodbackLimit_K: entry.floodbackLimit_K,
      };
    }),
    moduleEvidence: row.modules.flatMap(({ id, number }) => {
      const history = (histories.get(id) ?? []).filter(({ time_s }) => time_s <= asOf_s);
      if (history.length === 0) return [];
      const points = thinned(history, most);
      return {
        module: number,
        time_s: points.map(({ time_s }) => Math.round(time_s)),
        reserve: points.map(({ reserve }) => (reserve === null ? null : rounded(3)(reserve))),
      };
    }),
  }));
}
