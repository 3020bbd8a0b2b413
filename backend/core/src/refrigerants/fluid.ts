import { fluidTables } from '../../fluids/tables/index.js';
import type { FluidTable } from '../../fluids/fluid-table.js';
import { doublesFromBase64, floatsFromBase64, piecesFromCoefficients } from '../numerics/index.js';
import { matchName, nameKey, UnknownRefrigerantError } from './names.js';

/** Dew side for vapour and superheat, bubble side for liquid and subcooling. */
export type SaturationSide = 'dew' | 'bubble';

/** Saturation on one side: where its two curves lie, and the scale of the one over pressure. */
export interface SaturationBranch {
  logPressureLow: number;
  piecesPerLogPressure: number;
  temperature: number;
  logPressure: number;
}

/** Places of the curves in a table, in the order in which `FluidTable` stores them. */
export const liquidEnthalpyCurve = 4;
export const liquidDensityCurve = 5;
/** Places of the vapour surfaces, likewise. */
export const vapourSurfaces = { enthalpy: 0, pressureOverDensity: 1, entropy: 2 } as const;

/**
 * A table with what has been decoded of it so far: curves as polynomial pieces, surfaces as coefficients. Either kind
 * is decoded when first asked for, since a process needs few of the twenty-two refrigerants, and of these rarely both.
 */
export interface Fluid {
  table: FluidTable;
  piecesPerKelvin: number;
  dew: SaturationBranch;
  bubble: SaturationBranch;
  curves: (Float64Array | null)[];
  vapourColumns: number;
  vapourRowsPerLogPressure: number;
  vapourColumnsPerScaledSuperheat: number;
  surfaces: (Float32Array | null)[];
}

const tablesByKey = new Map(fluidTables.map((table) => [nameKey(table.name), table]));
const decoded = new Map<string, Fluid>();

/** Names of all refrigerants with a table, as every function here takes them. */
export const refrigerantNames = (): string[] => fluidTables.map((table) => table.name);

/**
 * The table of a refrigerant with what has been decoded of it.
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
  const branch = (
    range: readonly [number, number],
    temperature: number,
    logPressure: number,
  ): SaturationBranch => ({
    logPressureLow: range[0],
    piecesPerLogPressure: table.saturationPieces / (range[1] - range[0]),
    temperature,
    logPressure,
  });
  return {
    table,
    piecesPerKelvin: table.saturationPieces / (table.highestSaturation_K - table.lowestSaturation_K),
    dew: branch(table.dewLogPressure, 0, 2),
    bubble: branch(table.bubbleLogPressure, 1, 3),
    curves: [null, null, null, null, null, null],
    vapourColumns: table.superheatPieces + 3,
    vapourRowsPerLogPressure: table.pressurePieces / (table.dewLogPressure[1] - table.dewLogPressure[0]),
    vapourColumnsPerScaledSuperheat:
      table.superheatPieces / Math.log1p(table.largestSuperheat_K / table.superheatScale_K),
    surfaces: [null, null, null],
  };
}

/** A curve of the table as polynomial pieces. */
export const curveOf = (fluid: Fluid, place: number): Float64Array =>
  fluid.curves[place] ?? decodeCurves(fluid, place);

function decodeCurves(fluid: Fluid, place: number): Float64Array {
  const count = fluid.table.saturationPieces + 3;
  const all = doublesFromBase64(fluid.table.curves);
  fluid.curves = fluid.curves.map((_, index) =>
    piecesFromCoefficients(all.subarray(index * count, (index + 1) * count)),
  );
  return fluid.curves[place]!;
}

/** A surface of the table as spline coefficients. */
export const surfaceOf = (fluid: Fluid, place: number): Float32Array =>
  fluid.surfaces[place] ?? decodeSurfaces(fluid, place);

function decodeSurfaces(fluid: Fluid, place: number): Float32Array {
  const all = floatsFromBase64(fluid.table.surfaces);
  const size = all.length / fluid.surfaces.length;
  fluid.surfaces = fluid.surfaces.map((_, index) => all.subarray(index * size, (index + 1) * size));
  return fluid.surfaces[place]!;
}
