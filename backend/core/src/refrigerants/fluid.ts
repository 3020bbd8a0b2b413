import { fluidTables } from '../../fluids/tables/index.js';
import type { FluidTable } from '../../fluids/fluid-table.js';
import { doublesFromBase64, floatsFromBase64, piecesFromCoefficients } from '../numerics/index.js';
import { matchName, nameKey, UnknownRefrigerantError } from './names.js';

/** Dew side for vapour and superheat, bubble side for liquid and subcooling. */
export type SaturationSide = 'dew' | 'bubble';

/** Saturation on one side, decoded for evaluation. */
export interface SaturationBranch {
  logPressureLow: number;
  piecesPerLogPressure: number;
  temperature: Float64Array;
  logPressure: Float64Array;
}

/** A table decoded: splines as polynomial pieces (curves) or coefficients (surfaces). */
export interface Fluid {
  table: FluidTable;
  piecesPerKelvin: number;
  dew: SaturationBranch;
  bubble: SaturationBranch;
  liquidEnthalpy: Float64Array;
  liquidDensity: Float64Array;
  vapourColumns: number;
  vapourRowsPerLogPressure: number;
  vapourColumnsPerScaledSuperheat: number;
  vapourEnthalpy: Float32Array;
  vapourPressureOverDensity: Float32Array;
  vapourEntropy: Float32Array;
}

const tablesByKey = new Map(fluidTables.map((table) => [nameKey(table.name), table]));
const decoded = new Map<string, Fluid>();

/** Names of all refrigerants with a table, as every function here takes them. */
export const refrigerantNames = (): string[] => fluidTables.map((table) => table.name);

/**
 * The decoded table; decoding happens once per refrigerant, on first use.
 * @throws UnknownRefrigerantError offering the nearest names.
 */
export function fluidOf(refrigerant: string): Fluid {
  return decoded.get(refrigerant) ?? decodeByName(refrigerant);
}

function decodeByName(refrigerant: string): Fluid {
  const table = tablesByKey.get(nameKey(refrigerant));
  if (!table) throw new UnknownRefrigerantError(refrigerant, matchName(refrigerant, refrigerantNames()));
  let fluid = decoded.get(table.name);
  if (!fluid) {
    fluid = decode(table);
    decoded.set(table.name, fluid);
  }
  return fluid;
}

/** The name as the tables have it, e.g. `R-1234ze(e)` gives `R1234ze(E)`. */
export const canonicalRefrigerantName = (refrigerant: string): string => fluidOf(refrigerant).table.name;

function decode(table: FluidTable): Fluid {
  const curves = doublesFromBase64(table.curves);
  const surfaces = floatsFromBase64(table.surfaces);
  let at = 0;
  const curve = () => piecesFromCoefficients(curves.subarray(at, (at += table.saturationPieces + 3)));
  const dewTemperature = curve();
  const bubbleTemperature = curve();
  const dewLogPressure = curve();
  const bubbleLogPressure = curve();
  const liquidEnthalpy = curve();
  const liquidDensity = curve();
  const columns = table.superheatPieces + 3;
  const size = (table.pressurePieces + 3) * columns;
  const surface = (index: number) => surfaces.subarray(index * size, (index + 1) * size);
  const branch = (
    range: readonly [number, number],
    temperature: Float64Array,
    logPressure: Float64Array,
  ): SaturationBranch => ({
    logPressureLow: range[0],
    piecesPerLogPressure: table.saturationPieces / (range[1] - range[0]),
    temperature,
    logPressure,
  });
  return {
    table,
    piecesPerKelvin: table.saturationPieces / (table.highestSaturation_K - table.lowestSaturation_K),
    dew: branch(table.dewLogPressure, dewTemperature, dewLogPressure),
    bubble: branch(table.bubbleLogPressure, bubbleTemperature, bubbleLogPressure),
    liquidEnthalpy,
    liquidDensity,
    vapourColumns: columns,
    vapourRowsPerLogPressure: table.pressurePieces / (table.dewLogPressure[1] - table.dewLogPressure[0]),
    vapourColumnsPerScaledSuperheat:
      table.superheatPieces / Math.log1p(table.largestSuperheat_K / table.superheatScale_K),
    vapourEnthalpy: surface(0),
    vapourPressureOverDensity: surface(1),
    vapourEntropy: surface(2),
  };
}
