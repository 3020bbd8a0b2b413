import {
  ArgumentError,
  joulePerKilogramPerBtuPerPound,
  kelvinToCelsius,
  kelvinToFahrenheit,
  kilogramPerCubicMetrePerPoundPerCubicFoot,
  pascalToBar,
  pascalToPsi,
} from '../units/index.js';
import { refrigerantFacts, type RefrigerantFacts } from './facts.js';
import { liquidDensity, liquidEnthalpy } from './liquid.js';
import { parsePressure, parseTemperature } from './parse-quantity.js';
import { saturationPressure, saturationSlope_K_Pa, saturationTemperature } from './saturation.js';
import { vapourDensity, vapourEnthalpy } from './vapour.js';

export interface PropertyQuestion {
  refrigerant: string;
  /** With its unit, e.g. `8.57bar`, `124psig`. */
  pressure?: string;
  /** With its unit, e.g. `5C`, `41F`. */
  temperature?: string;
  /** Where a gauge reads, m above sea level. */
  altitude_m?: number;
}

/** One side of saturation at the asked pressure or temperature. */
export interface SaturatedState {
  temperature_K: number;
  pressure_Pa: number;
  enthalpy_J_kg: number;
  density_kg_m3: number;
  /** Kelvin per pascal. */
  slope_K_Pa: number;
}

export interface PropertyAnswer {
  facts: RefrigerantFacts;
  asked: { pressure_Pa?: number; gauge?: boolean; temperature_K?: number; altitude_m: number };
  bubble: SaturatedState;
  dew: SaturatedState;
  /** Only with both pressure and temperature: how far the state lies from saturation; vapour where superheated. */
  state: {
    superheat_K: number;
    subcooling_K: number;
    phase: 'vapour' | 'liquid' | 'between bubble and dew point';
    enthalpy_J_kg: number | null;
    density_kg_m3: number | null;
  } | null;
}

/**
 * A technician's pocket table: saturation at a pressure, or at a temperature, or the state at both.
 *
 * Source and range as `saturationTemperature`; enthalpy above saturated vapour (dew side) at 273.15 K; liquid off
 * saturation is taken as saturated liquid of its temperature.
 * @throws UnknownRefrigerantError offering the nearest names; OutOfRangeError; ArgumentError for a text that cannot be
 * read or when neither pressure nor temperature is given.
 * @example propertyLookup({ refrigerant: 'R454B', pressure: '8.57bar' }).dew.temperature_K // 278.2
 */
export function propertyLookup(question: PropertyQuestion): PropertyAnswer {
  const { refrigerant, altitude_m = 0 } = question;
  const facts = refrigerantFacts(refrigerant);
  if (question.pressure === undefined && question.temperature === undefined) {
    throw new ArgumentError('pressure', 'or temperature must be given');
  }
  const pressure = question.pressure === undefined ? undefined : parsePressure(question.pressure, altitude_m);
  const temperature_K =
    question.temperature === undefined ? undefined : parseTemperature(question.temperature);
  const asked = { ...pressure, temperature_K, altitude_m };
  if (pressure === undefined) {
    const atTemperature = (side: 'dew' | 'bubble') => saturationPressure(facts.name, temperature_K!, side);
    return {
      facts,
      asked,
      bubble: saturated(facts.name, atTemperature('bubble'), temperature_K!, 'bubble'),
      dew: saturated(facts.name, atTemperature('dew'), temperature_K!, 'dew'),
      state: null,
    };
  }
  const { pressure_Pa } = pressure;
  const atPressure = (side: 'dew' | 'bubble') => saturationTemperature(facts.name, pressure_Pa, side);
  const bubble = saturated(facts.name, pressure_Pa, atPressure('bubble'), 'bubble');
  const dew = saturated(facts.name, pressure_Pa, atPressure('dew'), 'dew');
  const state =
    temperature_K === undefined ? null : stateAt(facts.name, pressure_Pa, temperature_K, bubble, dew);
  return { facts, asked, bubble, dew, state };
}

function saturated(
  name: string,
  pressure_Pa: number,
  temperature_K: number,
  side: 'dew' | 'bubble',
): SaturatedState {
  return {
    temperature_K,
    pressure_Pa,
    enthalpy_J_kg:
      side === 'dew' ? vapourEnthalpy(name, pressure_Pa, temperature_K) : liquidEnthalpy(name, temperature_K),
    density_kg_m3:
      side === 'dew' ? vapourDensity(name, pressure_Pa, temperature_K) : liquidDensity(name, temperature_K),
    slope_K_Pa: saturationSlope_K_Pa(name, pressure_Pa, side),
  };
}

function stateAt(
  name: string,
  pressure_Pa: number,
  temperature_K: number,
  bubble: SaturatedState,
  dew: SaturatedState,
): NonNullable<PropertyAnswer['state']> {
  const superheat_K = temperature_K - dew.temperature_K;
  const subcooling_K = bubble.temperature_K - temperature_K;
  const common = { superheat_K, subcooling_K };
  if (superheat_K >= 0) {
    return {
      ...common,
      phase: 'vapour',
      enthalpy_J_kg: vapourEnthalpy(name, pressure_Pa, temperature_K),
      density_kg_m3: vapourDensity(name, pressure_Pa, temperature_K),
    };
  }
  if (subcooling_K >= 0) {
    return {
      ...common,
      phase: 'liquid',
      enthalpy_J_kg: liquidEnthalpy(name, temperature_K),
      density_kg_m3: liquidDensity(name, temperature_K),
    };
  }
  return { ...common, phase: 'between bubble and dew point', enthalpy_J_kg: null, density_kg_m3: null };
}

const temperature = (value_K: number) =>
  `${kelvinToCelsius(value_K).toFixed(2)} °C (${kelvinToFahrenheit(value_K).toFixed(2)} °F)`;
const difference = (value_K: number) => `${value_K.toFixed(2)} K (${(value_K * 1.8).toFixed(2)} °F)`;
const pressureText = (value_Pa: number) =>
  `${pascalToBar(value_Pa).toFixed(3)} bar (${pascalToPsi(value_Pa).toFixed(2)} psi) absolute`;
const enthalpy = (value_J_kg: number) =>
  `${(value_J_kg / 1e3).toFixed(2)} kJ/kg (${(value_J_kg / joulePerKilogramPerBtuPerPound).toFixed(2)} Btu/lb)`;
const density = (value: number) =>
  `${value.toPrecision(5)} kg/m³ (${(value / kilogramPerCubicMetrePerPoundPerCubicFoot).toPrecision(4)} lb/ft³)`;

/** The answer as lines of text, SI with inch-pound beside it, the cautions of the refrigerant last. */
export function formatPropertyAnswer(answer: PropertyAnswer): string[] {
  const { facts, bubble, dew, state, asked } = answer;
  const parts = facts.composition.map(
    (part) => `${part.component} ${(part.massFraction * 100).toFixed(1)} %`,
  );
  const lines = [
    `${facts.name}: safety class ${facts.safetyClass} (ASHRAE 34, ISO 817)` +
      (parts.length > 1 ? `, ${parts.join(', ')} by mass` : ''),
  ];
  if (facts.glide_K > 0.05) lines.push(`glide at one atmosphere ${difference(facts.glide_K)}`);
  if (asked.gauge) lines.push(`gauge reading at ${asked.altitude_m} m above sea level, standard atmosphere`);
  const side = (title: string, saturatedState: SaturatedState) => [
    `${title}: ${temperature(saturatedState.temperature_K)} at ${pressureText(saturatedState.pressure_Pa)}`,
    `  enthalpy ${enthalpy(saturatedState.enthalpy_J_kg)}, density ${density(saturatedState.density_kg_m3)}, ` +
      `${(saturatedState.slope_K_Pa * 1e5).toFixed(2)} K/bar`,
  ];
  lines.push(
    ...side('dew point (vapour, superheat)', dew),
    ...side('bubble point (liquid, subcooling)', bubble),
  );
  if (state) {
    if (state.phase === 'vapour') lines.push(`vapour, superheat ${difference(state.superheat_K)}`);
    else if (state.phase === 'liquid') lines.push(`liquid, subcooling ${difference(state.subcooling_K)}`);
    else lines.push('between bubble and dew point: pressure and temperature alone do not fix the state');
    if (state.enthalpy_J_kg !== null && state.density_kg_m3 !== null) {
      lines.push(`  enthalpy ${enthalpy(state.enthalpy_J_kg)}, density ${density(state.density_kg_m3)}`);
    }
  }
  lines.push(`enthalpy above saturated vapour at 0 °C; ${facts.source}`);
  const cautions = [
    'under pressure',
    ...(facts.flammable ? ['flammable'] : []),
    ...(facts.toxic ? ['toxic'] : []),
  ];
  lines.push(`Caution: ${cautions.join(', ')}. Local codes and licensed practice come first.`);
  return lines;
}
