import type { z } from 'zod';
import { StudyReader } from '../api/ports.js';
import type * as schemas from '../api/schemas/index.js';
import type { FleetCircuit, FleetModule, FleetUnit } from '../fleet/fleet.js';
import type { FleetService } from '../fleet/fleet.service.js';
import type { ModuleRepository } from '../storage/repositories/module.repository.js';
import type { ClosingFigures, StudyRepository } from '../storage/repositories/study.repository.js';
import { cohorts, distribution, quantile } from './quantiles.js';

export interface StudyParts {
  fleet: FleetService;
  study: StudyRepository;
  modules: ModuleRepository;
}

type CircuitQuery = z.output<typeof schemas.circuitStudyQuerySchema>;
type BackupQuery = z.output<typeof schemas.backupStudyQuerySchema>;
type ModuleRow = z.output<typeof schemas.backupStudySchema>['modules'][number];

const circuitCohort: Record<CircuitQuery['group'], (unit: FleetUnit, circuit: FleetCircuit) => string> = {
  'valve-size': (_unit, { entry }) => entry.valve.size,
  refrigerant: (unit) => unit.refrigerant,
  firmware: (unit) => unit.controllerFirmware,
  climate: (unit) => unit.site.climate,
};

const moduleCohort: Record<BackupQuery['group'], (unit: FleetUnit, module: FleetModule) => string> = {
  rating: (_unit, { entry }) => `${entry.ratedCapacitance_F} F, ${entry.ratedVoltage_V} V`,
  refrigerant: (unit) => unit.refrigerant,
  firmware: (unit) => unit.controllerFirmware,
  climate: (unit) => unit.site.climate,
};

const year_s = 365.25 * 86_400;
const ageStep_years = 0.25;
const referenceTemperature_K = 298.15;

/** How circuits and backup modules behave in the field, by cohort. */
export class StudyService extends StudyReader {
  constructor(
    private readonly parts: StudyParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {
    super();
  }

  override async circuits({ group, days }: CircuitQuery) {
    const [{ units }, figures] = await Promise.all([
      this.parts.fleet.fleet(),
      this.parts.study.circuits(this.now_s() - days * 86_400),
    ]);
    const byId = new Map(figures.map(({ circuitId, ...rest }) => [circuitId, rest]));
    const circuits = units.flatMap((unit) =>
      unit.circuits.flatMap((circuit) => {
        const own = byId.get(circuit.id);
        if (own === undefined) return [];
        return [
          {
            site: unit.site.key,
            unit: unit.key,
            circuit: circuit.number,
            cohort: circuitCohort[group](unit, circuit),
            ...own,
          },
        ];
      }),
    );
    return {
      group,
      days,
      circuits,
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

  /** Each module against its own new value, corrected to the reference temperature by its own temperature law. */
  override async backup({ group }: BackupQuery) {
    const { units } = await this.parts.fleet.fleet();
    const all = units.flatMap((unit) => unit.modules.map((module) => ({ unit, module })));
    const [figures, assessments] = await Promise.all([
      this.parts.study.closings(),
      this.parts.modules.assessments(all.map(({ module }) => module.id)),
    ]);
    const byModule = new Map<number, ClosingFigures[]>();
    for (const figure of figures) {
      const own = byModule.get(figure.moduleId) ?? [];
      own.push(figure);
      byModule.set(figure.moduleId, own);
    }
    const modules = all.flatMap(({ unit, module }): ModuleRow[] => {
      const assessment = assessments.get(module.id)?.detail;
      const points = byModule.get(module.id);
      if (assessment === undefined || points === undefined) return [];
      const { baseline, temperatureLaw } = assessment;
      const installed_s = Date.parse(module.entry.installedOn) / 1000;
      const ratio = (
        value: number | null,
        when_new: number | null,
        perK: number,
        temperature_K: number | null,
      ) =>
        value === null || when_new === null || temperature_K === null
          ? null
          : value / Math.exp(perK * (temperature_K - referenceTemperature_K)) / when_new;
      return [
        {
          site: unit.site.key,
          unit: unit.key,
          module: module.number,
          cohort: moduleCohort[group](unit, module),
          ageYears: points.map(({ time_s }) => (time_s - installed_s) / year_s),
          capacitanceRatio: points.map((point) =>
            ratio(
              point.capacitance_F,
              baseline.capacitance_F,
              temperatureLaw.capacitancePerK,
              point.temperature_K,
            ),
          ),
          esrRatio: points.map((point) =>
            ratio(point.esr_Ohm, baseline.esr_Ohm, temperatureLaw.esrPerK, point.temperature_K),
          ),
          temperature_K: points.map(({ temperature_K }) => temperature_K),
        },
      ];
    });
    return {
      group,
      modules,
      cohorts: cohorts(modules).map(([cohort, members]) => backupCohort(cohort, members)),
    };
  }
}

const known = (values: (number | null)[]) => values.filter((value): value is number => value !== null);

function backupCohort(cohort: string, members: ModuleRow[]) {
  const steps = new Map<number, { capacitance: number[]; esr: number[] }>();
  for (const member of members)
    member.ageYears.forEach((age, index) => {
      const step = Math.floor(age / ageStep_years);
      const bin = steps.get(step) ?? { capacitance: [], esr: [] };
      steps.set(step, bin);
      bin.capacitance.push(...known([member.capacitanceRatio[index]]));
      bin.esr.push(...known([member.esrRatio[index]]));
    });
  const bins = [...steps].sort(([a], [b]) => a - b);
  const temperatures = known(members.flatMap(({ temperature_K }) => temperature_K));
  const quantiles = (share: number) => bins.map(([, { capacitance }]) => quantile(capacitance, share));
  return {
    cohort,
    modules: members.length,
    meanTemperature_K:
      temperatures.length === 0
        ? null
        : temperatures.reduce((sum, value) => sum + value, 0) / temperatures.length,
    ageYears: bins.map(([step]) => (step + 0.5) * ageStep_years),
    capacitanceRatioP10: quantiles(0.1),
    capacitanceRatioP50: quantiles(0.5),
    capacitanceRatioP90: quantiles(0.9),
    esrRatioP50: bins.map(([, { esr }]) => quantile(esr, 0.5)),
  };
}
