import type { UnitJudged } from '../../../api/registry/registry.js';
import type { Measures } from '../../../quantities/unit-system.js';
import { textOf, unitOf } from '../values/kinds.js';
import { circuitFields, type CircuitValues } from '../values/unit-values.js';
import { Doubts } from './doubts.js';
import { NumberInput } from './number-input.js';

interface CircuitFieldsProps {
  place: number;
  circuit: CircuitValues;
  measures: Measures;
  judged: UnitJudged | undefined;
  change: (change: Partial<CircuitValues>) => void;
}

const references = { gauge: 'gauge pressure', absolute: 'absolute pressure' } as const;

/** What may be known of a circuit; all of it may be left empty. */
export function CircuitFields({ place, circuit, measures, judged, change }: CircuitFieldsProps) {
  const taken = judged?.taken?.circuits[place];
  const doubtful = judged?.doubts.some(({ field }) => field.startsWith(`circuits.${place}.`)) ?? false;
  return (
    <details open={doubtful || undefined}>
      <summary>Circuit {circuit.number}: valve, transducers, charge, limits</summary>
      <Doubts judged={judged} field={`circuits.${place}.number`} />
      <div className="form-row">
        {(['suction', 'discharge'] as const).map((side) => (
          <label key={side} className="field">
            {side === 'suction' ? 'Suction transducer reads' : 'Discharge transducer reads'}
            <select
              value={circuit[`${side}Reference`]}
              onChange={({ target }) =>
                change({ [`${side}Reference`]: target.value } as Partial<CircuitValues>)
              }
            >
              <option value="">choose</option>
              {Object.entries(references).map(([value, words]) => (
                <option key={value} value={value}>
                  {words}
                </option>
              ))}
            </select>
          </label>
        ))}
        <label className="field">
          Valves
          <select
            value={circuit.motors}
            onChange={({ target }) => change({ motors: Number(target.value) as 1 | 2 })}
          >
            <option value={1}>one</option>
            <option value={2}>two in parallel on one controller</option>
          </select>
        </label>
        <label className="field">
          Size of the valve, in your words
          <input
            value={circuit.valveSize}
            placeholder="not known"
            autoComplete="off"
            onChange={({ target }) => change({ valveSize: target.value })}
          />
        </label>
        {circuitFields.map(({ name, words, kind, unit }) => (
          <NumberInput
            key={name}
            words={words}
            unit={unit ?? unitOf(kind, measures)}
            value={circuit[name]}
            assumed={
              name === 'kv_m3_h' || taken === undefined ? null : assumedText(taken[name], kind, measures)
            }
            onChange={(value) => change({ [name]: value } as Partial<CircuitValues>)}
          >
            <Doubts judged={judged} field={`circuits.${place}.${name}`} />
          </NumberInput>
        ))}
      </div>
    </details>
  );
}

const assumedText = (value: number | null, kind: Parameters<typeof textOf>[1], measures: Measures) =>
  value === null ? null : textOf(value, kind, measures);
