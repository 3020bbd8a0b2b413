import type { UnitJudged } from '../../../api/registry/registry.js';
import { textOf } from '../values/kinds.js';
import { moduleFields, type ModuleValues } from '../values/unit-values.js';
import { Doubts } from './doubts.js';
import { NumberInput } from './number-input.js';

interface ModuleFieldsProps {
  place: number;
  module: ModuleValues;
  /** Numbers of the unit's circuits. */
  circuits: number[];
  judged: UnitJudged | undefined;
  change: (change: Partial<ModuleValues>) => void;
  remove: () => void;
}

/** One backup module: four figures from its nameplate, the rest as far as it is known. */
export function ModuleFields({ place, module, circuits, judged, change, remove }: ModuleFieldsProps) {
  const taken = judged?.taken?.modules[place];
  return (
    <fieldset>
      <legend>Backup module {module.number}</legend>
      <div className="form-row">
        <fieldset>
          <legend>Shuts the valves of</legend>
          {circuits.map((number) => (
            <label key={number} className="tick">
              <input
                type="checkbox"
                checked={module.circuits.includes(number)}
                onChange={({ target }) =>
                  change({
                    circuits: target.checked
                      ? [...module.circuits, number].sort((a, b) => a - b)
                      : module.circuits.filter((other) => other !== number),
                  })
                }
              />
              circuit {number}
            </label>
          ))}
          <Doubts judged={judged} field={`modules.${place}.circuits`} />
        </fieldset>
        {moduleFields.map(({ name, words, unit, required }) => (
          <NumberInput
            key={name}
            words={words}
            unit={unit ?? ''}
            required={required}
            value={module[name]}
            assumed={required || taken == null ? null : textOf(taken[name], 'plain', 'si')}
            onChange={(value) => change({ [name]: value } as Partial<ModuleValues>)}
          >
            <Doubts judged={judged} field={`modules.${place}.${name}`} />
          </NumberInput>
        ))}
        <label className="field">
          Installed on, if known
          <input
            type="date"
            value={module.installedOn}
            onChange={({ target }) => change({ installedOn: target.value })}
          />
        </label>
      </div>
      <p>
        <button type="button" className="button small" onClick={remove}>
          Take backup module {module.number} out
        </button>
      </p>
    </fieldset>
  );
}
