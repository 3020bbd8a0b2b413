import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import {
  unitCheckQuery,
  type Because,
  type UnitDraft,
  type UnitJudged,
} from '../../../api/registry/registry.js';
import { refrigerantsQuery } from '../../../api/queries.js';
import { usePreferences } from '../../../app/preferences.js';
import { Field } from '../../people/field.js';
import { MissingFacts } from '../missing-facts.js';
import { unitOf } from '../values/kinds.js';
import {
  draftOf,
  emptyCircuit,
  emptyModule,
  emptyUnit,
  keyOf,
  valuesOf,
  type UnitValues,
} from '../values/unit-values.js';
import { CircuitFields } from './circuit-fields.js';
import { Doubts } from './doubts.js';
import { ModuleFields } from './module-fields.js';
import { NumberInput } from './number-input.js';
import { RegistryForm } from './registry-form.js';
import { useSettled } from './use-settled.js';

interface UnitFormProps {
  site: { key: string; timeZone: string };
  /** The unit as it is registered; null: a new one. */
  before: UnitDraft | null;
  /** What is known of a new one already. */
  start?: Partial<UnitValues>;
  save: (draft: UnitDraft, because: Because) => Promise<unknown>;
}

/** A unit, asked for in as few fields as it can be judged by; the rest as far as it is known. */
export function UnitForm({ site, before, start, save }: UnitFormProps) {
  const { units: measures } = usePreferences();
  const [values, setValues] = useState<UnitValues>(() =>
    before === null ? { ...emptyUnit(), ...start } : valuesOf(before, measures),
  );
  const change = (some: Partial<UnitValues>) => setValues((old) => ({ ...old, ...some }));
  const draft = draftOf(values, measures, before);
  const settled = useSettled(typeof draft === 'string' ? null : draft, JSON.stringify(draft));
  const { data: judged } = useQuery(unitCheckQuery(site.key, settled, before?.key ?? null));

  return (
    <RegistryForm
      what="unit"
      isNew={before === null}
      draft={() => draft}
      timeZone={site.timeZone}
      save={save}
    >
      <UnitFields values={values} change={change} judged={judged} isNew={before === null} />
      {values.circuits.map((circuit, place) => (
        <CircuitFields
          key={circuit.number}
          {...{ place, circuit, measures, judged }}
          change={(some) => change({ circuits: replaced(values.circuits, place, some) })}
        />
      ))}
      {values.modules.map((module, place) => (
        <ModuleFields
          key={module.number}
          {...{ place, module, judged }}
          circuits={values.circuits.map(({ number }) => number)}
          change={(some) => change({ modules: replaced(values.modules, place, some) })}
          remove={() => change({ modules: values.modules.filter((_, other) => other !== place) })}
        />
      ))}
      <p>
        <button
          type="button"
          className="button small"
          onClick={() => change({ modules: [...values.modules, nextModule(values)] })}
        >
          Add a backup module
        </button>
      </p>
      {judged && <MissingFacts missing={judged.missing} />}
    </RegistryForm>
  );
}

const replaced = <Item,>(items: Item[], place: number, some: Partial<Item>): Item[] =>
  items.map((item, other) => (other === place ? { ...item, ...some } : item));

const nextModule = ({ modules, circuits }: UnitValues) =>
  emptyModule(
    Math.max(0, ...modules.map(({ number }) => number)) + 1,
    circuits.map(({ number }) => number),
  );

interface UnitFieldsProps {
  values: UnitValues;
  change: (some: Partial<UnitValues>) => void;
  judged: UnitJudged | undefined;
  isNew: boolean;
}

function UnitFields({ values, change, judged, isNew }: UnitFieldsProps) {
  const { units: measures } = usePreferences();
  const { data: refrigerants } = useQuery(refrigerantsQuery);
  return (
    <>
      <div className="form-row">
        <Field label="Name" value={values.name} onChange={(name) => change({ name })} />
        {isNew && (
          <Field
            label="Name in the topics of its gateway"
            hint="Small letters, digits and hyphens; left empty, it follows from the name."
            required={false}
            value={values.key}
            onChange={(key) => change({ key: keyOf(key) === '' ? '' : key.toLowerCase() })}
          />
        )}
        <label className="field">
          Refrigerant
          <select
            required
            value={values.refrigerant}
            onChange={({ target }) => change({ refrigerant: target.value })}
          >
            <option value="">choose</option>
            {refrigerants?.refrigerants.map(({ name }) => (
              <option key={name} value={name}>
                {name}
              </option>
            ))}
          </select>
          <Doubts judged={judged} field="refrigerant" />
        </label>
        <NumberInput
          words="Cooling capacity"
          unit={unitOf('capacity', measures)}
          required
          value={values.capacity}
          onChange={(capacity) => change({ capacity })}
        />
        <label className="field">
          Condenser
          <select
            required
            value={values.condenser}
            onChange={({ target }) => change({ condenser: target.value as UnitValues['condenser'] })}
          >
            <option value="">choose</option>
            <option value="air">air-cooled</option>
            <option value="water">water-cooled</option>
          </select>
        </label>
        <Circuits values={values} change={change} />
      </div>
      <MoreOfUnit values={values} change={change} />
    </>
  );
}

/** How many circuits there are, and what all their transducers read. */
function Circuits({ values, change }: Pick<UnitFieldsProps, 'values' | 'change'>) {
  const reference = values.circuits[0]?.suctionReference ?? '';
  const readAs = (read: typeof reference) =>
    change({
      circuits: values.circuits.map((circuit) => ({
        ...circuit,
        ...{ suctionReference: read, dischargeReference: read },
      })),
    });
  const circuitCount = (wanted: number) => {
    const kept = values.circuits.slice(0, wanted);
    const first = Math.max(0, ...kept.map(({ number }) => number)) + 1;
    const added = Array.from({ length: wanted - kept.length }, (_, n) => emptyCircuit(first + n, reference));
    change({ circuits: [...kept, ...added] });
  };
  return (
    <>
      <label className="field">
        Circuits
        <select value={values.circuits.length} onChange={({ target }) => circuitCount(Number(target.value))}>
          {[1, 2, 3, 4, 5, 6, 7, 8].map((n) => (
            <option key={n} value={n}>
              {n}
            </option>
          ))}
        </select>
      </label>
      <label className="field">
        Pressure transducers read
        <select
          required
          value={reference}
          onChange={({ target }) => readAs(target.value as typeof reference)}
        >
          <option value="">choose</option>
          <option value="gauge">gauge pressure</option>
          <option value="absolute">absolute pressure</option>
        </select>
      </label>
    </>
  );
}

function MoreOfUnit({ values, change }: Pick<UnitFieldsProps, 'values' | 'change'>) {
  return (
    <details>
      <summary>Evaporator, commissioning, firmware, gateway</summary>
      <div className="form-row">
        <label className="field">
          Evaporator
          <select
            value={values.evaporator}
            onChange={({ target }) => change({ evaporator: target.value as UnitValues['evaporator'] })}
          >
            <option value="dry-expansion">dry expansion</option>
            <option value="flooded">flooded</option>
            <option value="falling-film">falling film</option>
          </select>
        </label>
        <label className="field">
          Commissioned on, if known
          <input
            type="date"
            value={values.commissionedOn}
            onChange={({ target }) => change({ commissionedOn: target.value })}
          />
        </label>
        <Field
          label="Firmware of the controller"
          hint="Left empty: not known."
          required={false}
          value={values.controllerFirmware}
          onChange={(controllerFirmware) => change({ controllerFirmware })}
        />
        <label className="field">
          Its gateway sends
          <select
            value={values.reporting}
            onChange={({ target }) => change({ reporting: target.value as UnitValues['reporting'] })}
          >
            <option value="">not known: learned from its telemetry</option>
            <option value="sampled">each value at its interval</option>
            <option value="on-change">a value only when it has changed</option>
          </select>
        </label>
        <label className="tick">
          <input
            type="checkbox"
            checked={values.reversible}
            onChange={({ target }) => change({ reversible: target.checked })}
          />
          can run as a heat pump
        </label>
      </div>
    </details>
  );
}
