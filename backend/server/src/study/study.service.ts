import { notJudgedOn, type AgeingMonth, type NotJudged } from '@coldrounds/core';
import { sensorSource } from '../findings/sensor-source.js';
import type { FleetCircuit, FleetModule, FleetUnit } from '../registry/fleet.js';
import type { FleetService } from '../registry/fleet.service.js';
import type { ModulePath } from '../registry/paths.js';
import type { FindingRepository } from '../storage/repositories/finding.repository.js';
import type { CircuitFigures, StudyRepository } from '../storage/repositories/study.repository.js';
import { backupCohort, isComparable, ratioTo, type StudiedModule } from './backup-cohort.js';
import { cohorts, distribution } from './quantiles.js';
import type { BackupQuery, CircuitQuery, ModuleGroup, ModuleQuery } from './queries.js';

export interface StudyParts {
  fleet: FleetService;
  findings: FindingRepository;
  study: StudyRepository;
}

/** The figures of one circuit; null where they rest on a measurement found wrong. */
type CircuitRow = Omit<CircuitFigures, 'circuitId'> & {
  site: string;
  unit: string;
  circuit: number;
  cohort: string;
  setAside: 'none' | 'level' | 'level-and-swings';
};

/** One month of one module, against what the module had when new. */
export interface ModuleMonth extends ModulePath, AgeingMonth {
  cohort: string;
  /** Against the module's own new value, or the rated one where it was not watched when new. */
  capacitanceRatio: number | null;
  esrRatio: number | null;
  newValueFrom: 'own' | 'rated';
}

const circuitCohort: Record<CircuitQuery['group'], (unit: FleetUnit, circuit: FleetCircuit) => string> = {
  'valve-size': (_unit, { entry }) => entry.valve.size,
  refrigerant: (unit) => unit.refrigerant,
  firmware: (unit) => unit.controllerFirmware,
  climate: (unit) => unit.site.climate,
};

const moduleCohort: Record<ModuleGroup, (unit: FleetUnit, module: FleetModule) => string> = {
  rating: (_unit, { entry }) => `${entry.ratedCapacitance_F} F, ${entry.ratedVoltage_V} V`,
  refrigerant: (unit) => unit.refrigerant,
  firmware: (unit) => unit.controllerFirmware,
  climate: (unit) => unit.site.climate,
};

/** Less steady running than this says nothing of a circuit. Judgement, no source. */
const leastSteady_min = 60;

/** How circuits and backup modules behave in the field, by cohort. */
export class StudyService {
  constructor(
    private readonly parts: StudyParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async circuits({ group, days }: CircuitQuery) {
    const { units } = await this.parts.fleet.fleet();
    const [figures, verdicts] = await Promise.all([
      this.parts.study.circuits(this.now_s() - days * 86_400),
      this.parts.findings.verdictsOf(units.flatMap((unit) => unit.circuits.map(sensorSource))),
    ]);
    const enough = figures.filter(({ steadyMinutes }) => steadyMinutes >= leastSteady_min);
    const byId = new Map(enough.map(({ circuitId, ...rest }) => [circuitId, rest]));
    const circuits = units.flatMap((unit) => {
      const ofUnit = verdicts.filter(({ unitId }) => unitId === unit.id);
      return unit.circuits.flatMap((circuit): CircuitRow[] => {
        const own = byId.get(circuit.id);
        if (own === undefined) return [];
        return [
          {
            site: unit.site.key,
            unit: unit.key,
            circuit: circuit.number,
            cohort: circuitCohort[group](unit, circuit),
            ...believed(own, notJudgedOn(ofUnit, circuit.number, 'as-read')),
          },
        ];
      });
    });
    return {
      group,
      days,
      circuits,
      tooLittle: figures.length - enough.length,
      cohorts: cohorts(circuits).map(([cohort, members]) => ({
        cohort,
        circuits: members.length,
        superheatMean_K: distribution(members.map((row) => row.superheatMean_K)),
        superheatSpread_K: distribution(members.map((row) => row.superheatSpread_K)),
        floodbackShare: distribution(members.map((row) => row.floodbackShare)),
        huntingShare: distribution(members.map((row) => row.huntingShare)),
        valveTravel_strokes_day: distribution(members.map((row) => row.valveTravel_strokes_day)),
        valveReversals_day: distribution(members.map((row) => row.valveReversals_day)),
      })),
    };
  }

  async backup({ group, against }: BackupQuery) {
    const { modules, notYetKnown } = await this.studied(group);
    const tested = modules.filter(({ months }) => months.some(isComparable));
    return {
      group,
      against,
      cohorts: cohorts(tested).map(([cohort, members]) => backupCohort(cohort, members, against)),
      leftOut: { notYetKnown, withoutTests: modules.length - tested.length },
    };
  }

  async backupMonths({ group }: ModuleQuery): Promise<ModuleMonth[]> {
    const { modules } = await this.studied(group);
    return modules.flatMap(({ site, unit, module, cohort, baseline, months }) =>
      months.map((month) => ({
        site,
        unit,
        module,
        cohort,
        ...month,
        capacitanceRatio: ratioTo(baseline.capacitance_F, month.capacitance_F),
        esrRatio: ratioTo(baseline.esr_Ohm, month.esr_Ohm),
        newValueFrom: baseline.from,
      })),
    );
  }

  private async studied(group: ModuleGroup) {
    const [{ units }, ageing] = await Promise.all([this.parts.fleet.fleet(), this.parts.study.ageing()]);
    const byId = new Map(ageing.map(({ moduleId, ...rest }) => [moduleId, rest]));
    const modules: (StudiedModule & { site: string; unit: string; module: number })[] = [];
    let notYetKnown = 0;
    for (const unit of units)
      for (const module of unit.modules) {
        const { months, baseline } = byId.get(module.id) ?? { months: null, baseline: null };
        if (months === null || baseline === null) {
          notYetKnown++;
          continue;
        }
        modules.push({
          site: unit.site.key,
          unit: unit.key,
          module: module.number,
          cohort: moduleCohort[group](unit, module),
          baseline,
          months,
        });
      }
    return { modules, notYetKnown };
  }
}

/** The figures of a circuit without those that rest on a measurement found wrong. */
function believed(
  figures: Omit<CircuitFigures, 'circuitId'>,
  { superheatLevel, superheatSwing }: NotJudged,
): Omit<CircuitFigures, 'circuitId'> & Pick<CircuitRow, 'setAside'> {
  return {
    ...figures,
    ...(superheatLevel ? { superheatMean_K: null, floodbackShare: null } : {}),
    ...(superheatSwing ? { superheatSpread_K: null, huntingShare: null } : {}),
    setAside: superheatSwing ? 'level-and-swings' : superheatLevel ? 'level' : 'none',
  };
}
