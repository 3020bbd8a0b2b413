import { compareFindings, type ClosingTrace } from '@coldrounds/core';
import { judgeStoredClosing } from '../../assessment/module/judge-stored-closing.js';
import type { ModulePath } from '../../registry/paths.js';
import { siteReference, unitReference } from '../references.js';
import { recorded } from '../../findings/recorded.js';
import type { FindingRepository } from '../../storage/repositories/findings/finding.repository.js';
import { column } from '../../storage/repositories/readings/float-arrays.js';
import type { ModuleRepository } from '../../storage/repositories/results/module.repository.js';
import { cautionsFor } from './cautions.js';
import { NotKnownError, type FleetService } from '../../registry/fleet.service.js';
import type { UnitService } from './unit.service.js';

export interface ModuleParts {
  fleet: FleetService;
  units: UnitService;
  modules: ModuleRepository;
  findings: FindingRepository;
}

/** The discharge that an estimate stands for: from the voltage before it, by C, ESR and the measured current. */
export function fittedDischarge(
  trace: ClosingTrace,
  estimate: { capacitance_F: number; esr_Ohm: number; voltageBefore_V: number },
): { time_s: number[]; voltage_V: (number | null)[] } {
  const time_s = Array.from(trace.time_s);
  let charge_C = 0;
  let lastTime: number | undefined;
  let lastCurrent = 0;
  const voltage_V = time_s.map((time, i) => {
    const current = trace.current_A[i];
    if (current === null || !Number.isFinite(current)) return null;
    if (lastTime !== undefined) charge_C += ((lastCurrent + current) / 2) * (time - lastTime);
    lastTime = time;
    lastCurrent = current;
    return estimate.voltageBefore_V - charge_C / estimate.capacitance_F - current * estimate.esr_Ohm;
  });
  return { time_s, voltage_V };
}

/** One backup module: what is known of its reserve, and each closing. */
export class ModuleService {
  constructor(
    private readonly parts: ModuleParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async detail(path: ModulePath) {
    const { fleet, units, modules, findings } = this.parts;
    const { unit, module } = await fleet.module(path);
    const [[overview], closings, open, assessments] = await Promise.all([
      units.moduleOverviews([module], Infinity),
      modules.judgements(module.id, this.now_s() - 400 * 86_400),
      findings.open(unit.id),
      modules.assessments([module.id]),
    ]);
    return {
      site: siteReference(unit.site),
      unit: unitReference(unit),
      module: overview,
      closings: closings.map((judgement) => ({
        startedAt_s: judgement.startedAt_s,
        kind: judgement.kind,
        capacitance_F: judgement.capacitance_F,
        esr_Ohm: judgement.esr_Ohm,
        temperature_K: judgement.temperature_K,
        shut: judgement.shut,
        proof: judgement.proof,
        energyUsed_J: judgement.energyUsed_J,
        timeToShut_s: judgement.timeToShut_s,
        voltageBefore_V: judgement.voltageBefore_V,
        voltageAfter_V: judgement.voltageAfter_V,
      })),
      findings: open
        .map(recorded)
        .filter(({ subject }) => subject.kind === 'module' && subject.module === module.number)
        .sort(compareFindings),
      cautions: cautionsFor(unit),
      assessedAt: assessments.get(module.id)?.judgedAt.toISOString() ?? null,
    };
  }

  async closing(path: ModulePath, startedAt_s: number) {
    const { unit, module } = await this.parts.fleet.module(path);
    const closing = await this.parts.modules.closing(module.id, startedAt_s);
    if (closing === null) throw new NotKnownError('No closing started at that time.');
    const judgement = judgeStoredClosing(unit, module, closing);
    const { capacitance_F, esr_Ohm, voltageBefore_V } = judgement;
    return {
      judgement,
      curve: {
        time_s: Array.from(closing.trace.time_s),
        voltage_V: column(closing.trace.voltage_V as Float64Array),
        current_A: column(closing.trace.current_A as Float64Array),
        valveOpening_pct: column(closing.trace.valveOpening_pct as Float64Array),
      },
      fit:
        capacitance_F === null || voltageBefore_V === null
          ? null
          : fittedDischarge(closing.trace, { capacitance_F, esr_Ohm: esr_Ohm ?? 0, voltageBefore_V }),
    };
  }
}
