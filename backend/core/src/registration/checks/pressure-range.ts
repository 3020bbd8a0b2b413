import { quantity, statement } from '../../diagnosis/statement.js';
import { saturationPressure, valueOrNaN } from '../../refrigerants/index.js';
import { celsiusToKelvin, standardAtmospherePressure_Pa } from '../../units/index.js';
import type { PressureReference } from '../draft.js';
import type { Doubt } from '../doubt.js';

export interface TransducerSpan {
  refrigerant: string;
  side: 'suction' | 'discharge';
  reference: PressureReference;
  /** In the transducer's own reference, Pa; null: not known. */
  minimum_Pa: number | null;
  maximum_Pa: number | null;
  altitude_m: number;
}

/**
 * Temperatures whose saturation pressure a span should hold: the suction side standing in a warm room and evaporating for
 * cold water; the discharge side condensing on a hot day. Common practice, no source.
 */
export const needed = {
  suction: { warmest_K: celsiusToKelvin(20), coldest_K: celsiusToKelvin(-5) },
  discharge: { warmest_K: celsiusToKelvin(50), coldest_K: celsiusToKelvin(20) },
} as const;

/** NaN outside the refrigerant's table: then nothing is doubted. */
const pressureAt = (refrigerant: string, temperature_K: number): number =>
  valueOrNaN(() => saturationPressure(refrigerant, temperature_K, 'bubble'));

/** Doubts about the span of a transducer: ends that cannot be, and pressures of the refrigerant that it cannot hold. */
export function doubtsOfSpan(span: TransducerSpan, fields: { minimum: string; maximum: string }): Doubt[] {
  const { reference, minimum_Pa, maximum_Pa } = span;
  const atmosphere_Pa = standardAtmospherePressure_Pa(span.altitude_m);
  if (minimum_Pa !== null && maximum_Pa !== null && minimum_Pa >= maximum_Pa)
    return [
      { field: fields.maximum, refused: true, sentence: statement('The span ends below its beginning.') },
    ];
  // Transducers are sold from -1 bar, a little below a vacuum.
  if (minimum_Pa !== null && reference === 'gauge' && minimum_Pa < -1.02e5)
    return [{ field: fields.minimum, refused: true, sentence: statement('That is below a vacuum.') }];
  if (minimum_Pa !== null && reference === 'absolute' && minimum_Pa < 0)
    return [
      {
        field: fields.minimum,
        refused: true,
        sentence: statement('An absolute pressure is never negative: this transducer reads gauge pressure.'),
      },
    ];
  const offset_Pa = reference === 'gauge' ? atmosphere_Pa : 0;
  return [
    ...tooLow(span, maximum_Pa === null ? null : maximum_Pa + offset_Pa, fields.maximum),
    ...tooHigh(span, minimum_Pa === null ? null : minimum_Pa + offset_Pa, fields.minimum),
  ];
}

function tooLow({ refrigerant, side }: TransducerSpan, end_Pa: number | null, field: string): Doubt[] {
  const { warmest_K } = needed[side];
  const pressure_Pa = pressureAt(refrigerant, warmest_K);
  if (end_Pa === null || !(end_Pa < pressure_Pa)) return [];
  return [
    {
      field,
      refused: false,
      sentence: statement(
        side === 'suction'
          ? 'At {temperature} the standing circuit holds {pressure}, more than this transducer can read.'
          : 'Condensing at {temperature} takes {pressure}, more than this transducer can read.',
        { temperature: quantity('temperature', warmest_K), pressure: quantity('pressure', pressure_Pa) },
      ),
    },
  ];
}

function tooHigh({ refrigerant, side }: TransducerSpan, start_Pa: number | null, field: string): Doubt[] {
  const { coldest_K } = needed[side];
  const pressure_Pa = pressureAt(refrigerant, coldest_K);
  if (start_Pa === null || !(start_Pa > pressure_Pa)) return [];
  return [
    {
      field,
      refused: false,
      sentence: statement(
        'Saturated at {temperature}, the refrigerant has {pressure}, under the span of this transducer.',
        {
          temperature: quantity('temperature', coldest_K),
          pressure: quantity('pressure', pressure_Pa),
        },
      ),
    },
  ];
}
