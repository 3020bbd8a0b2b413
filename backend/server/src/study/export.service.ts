import { derivedColumns } from '../assessment/circuit/rollup.js';
import type { CircuitPath, ModulePath, Span } from '../registry/paths.js';
import { iso } from '../pages/references.js';
import type { FleetService } from '../registry/fleet.service.js';
import type { ModuleRepository } from '../storage/repositories/results/module.repository.js';
import type { ReadingRepository } from '../storage/repositories/readings/reading.repository.js';
import { daysPerYear } from './backup-cohort.js';
import type { CircuitQuery, ModuleQuery } from './queries.js';
import type { StudyService } from './study.service.js';

export type Cell = string | number | null;

/** Rows of an export, the header first; read one after another so that a long export needs little memory. */
export interface Table {
  name: string;
  columns: string[];
  rows: AsyncIterable<Cell[]>;
}

export interface ExportParts {
  fleet: FleetService;
  readings: ReadingRepository;
  modules: ModuleRepository;
  studies: Pick<StudyService, 'everyCircuit' | 'backupMonths'>;
}

/** Columns of the log that `coldrounds assess` and `coldrounds import` read, and what follows from them. */
const logColumns = {
  suction_pressure_Pa: 'suctionPressure_Pa',
  suction_temperature_K: 'suctionTemperature_K',
  valve_opening_pct: 'valveOpening_pct',
  discharge_pressure_Pa: 'dischargePressure_Pa',
  discharge_temperature_K: 'dischargeTemperature_K',
  liquid_temperature_K: 'liquidTemperature_K',
  superheat_setpoint_K: 'superheatSetpoint_K',
  compressor_load_pct: 'compressorLoad_pct',
  entering_temperature_K: 'enteringWaterTemperature_K',
  leaving_temperature_K: 'leavingWaterTemperature_K',
  flow_m3_s: 'waterFlow_m3_s',
  condenser_entering_temperature_K: 'condenserEnteringTemperature_K',
  condenser_leaving_temperature_K: 'condenserLeavingTemperature_K',
  condenser_flow_m3_s: 'condenserFlow_m3_s',
  condenser_fan_speed_pct: 'condenserFanSpeed_pct',
  compressor_power_kW: 'compressorPower_W',
  ambient_temperature_K: 'ambientTemperature_K',
} as const;

const cell = (value: number | null): Cell =>
  value === null || !Number.isFinite(value) ? null : Number(value.toPrecision(7));

async function* each<Item>(items: Iterable<Item>, row: (item: Item) => Cell[]): AsyncGenerator<Cell[]> {
  for (const item of items) yield row(item);
}

const piece_s = 86_400;

/** Tables for a spreadsheet or a script. */
export class ExportService {
  constructor(
    private readonly parts: ExportParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async circuitSeries(path: CircuitPath, span: Span): Promise<Table> {
    const { unit, circuit } = await this.parts.fleet.circuit(path);
    const { readings } = this.parts;
    const names = Object.values(logColumns);
    async function* rows(): AsyncGenerator<Cell[]> {
      for (let from_s = span.from_s; from_s < span.to_s; from_s += piece_s) {
        const series = await readings.circuitSeries(
          circuit.id,
          from_s,
          Math.min(span.to_s, from_s + piece_s),
        );
        const { superheat_K, subcooling_K } = derivedColumns(series, unit.refrigerant);
        for (let i = 0; i < series.time_s.length; i++)
          yield [
            iso(series.time_s[i]),
            ...names.map((name) => cell(series[name][i] * (name === 'compressorPower_W' ? 1e-3 : 1))),
            cell(superheat_K[i]),
            cell(subcooling_K[i]),
          ];
      }
    }
    return {
      name: `${path.site}-${path.unit}-circuit-${path.circuit}`,
      columns: ['time', ...Object.keys(logColumns), 'superheat_K', 'subcooling_K'],
      rows: rows(),
    };
  }

  async closings(path: ModulePath): Promise<Table> {
    const { module } = await this.parts.fleet.module(path);
    const closings = await this.parts.modules.judgements(module.id, this.now_s() - 400 * 86_400);
    return {
      name: `${path.site}-${path.unit}-module-${path.module}-closings`,
      columns: [
        'time',
        'kind',
        'capacitance_F',
        'capacitance_uncertainty_F',
        'esr_Ohm',
        'esr_uncertainty_Ohm',
        'temperature_K',
        'current_A',
        'voltage_before_V',
        'voltage_after_V',
        'energy_used_J',
        'time_to_shut_s',
        'shut',
        'proof',
      ],
      rows: each(closings, (closing) => [
        iso(closing.startedAt_s),
        closing.kind,
        cell(closing.capacitance_F),
        cell(closing.capacitanceUncertainty_F),
        cell(closing.esr_Ohm),
        cell(closing.esrUncertainty_Ohm),
        cell(closing.temperature_K),
        cell(closing.current_A),
        cell(closing.voltageBefore_V),
        cell(closing.voltageAfter_V),
        cell(closing.energyUsed_J),
        cell(closing.timeToShut_s),
        closing.shut === null ? null : String(closing.shut),
        String(closing.proof),
      ]),
    };
  }

  async circuitStudy(query: CircuitQuery): Promise<Table> {
    const { circuits } = await this.parts.studies.everyCircuit(query);
    return {
      name: `circuits-by-${query.group}`,
      columns: [
        'site',
        'unit',
        'circuit',
        query.group,
        'left_out',
        'steady_minutes',
        'superheat_mean_K',
        'superheat_spread_K',
        'floodback_share',
        'hunting_share',
        'valve_travel_strokes_per_day',
        'valve_reversals_per_day',
      ],
      rows: each(circuits, (row) => [
        row.site,
        row.unit,
        row.circuit,
        row.cohort,
        row.leftOut,
        cell(row.steadyMinutes),
        cell(row.superheatMean_K),
        cell(row.superheatSpread_K),
        cell(row.floodbackFraction),
        cell(row.huntingFraction),
        cell(row.valveTravel_strokes_day),
        cell(row.valveReversals_day),
      ]),
    };
  }

  async backupStudy(query: ModuleQuery): Promise<Table> {
    const months = await this.parts.studies.backupMonths(query);
    return {
      name: `backup-ageing-by-${query.group}`,
      columns: [
        'site',
        'unit',
        'module',
        query.group,
        'month',
        'age_years',
        'weighted_age_years',
        'mean_temperature_K',
        'capacitance_F',
        'capacitance_uncertainty_F',
        'capacitance_of_rated',
        'capacitance_of_new',
        'esr_Ohm',
        'esr_uncertainty_Ohm',
        'esr_of_rated',
        'esr_of_new',
        'new_value_from',
        'tests',
      ],
      rows: each(months, (month) => [
        month.site,
        month.unit,
        month.module,
        month.cohort,
        iso(month.month_s).slice(0, 7),
        cell(month.age_d / daysPerYear),
        cell(month.weightedAge_d === null ? null : month.weightedAge_d / daysPerYear),
        cell(month.meanTemperature_K),
        cell(month.capacitance_F),
        cell(month.capacitanceUncertainty_F),
        cell(month.relativeCapacitance),
        cell(month.capacitanceRatio),
        cell(month.esr_Ohm),
        cell(month.esrUncertainty_Ohm),
        cell(month.relativeEsr),
        cell(month.esrRatio),
        month.newValueFrom,
        month.tests,
      ]),
    };
  }
}
