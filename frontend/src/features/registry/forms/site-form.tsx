import { useState } from 'react';
import type { Because, SiteDraft } from '../../../api/registry/registry.js';
import { usePreferences } from '../../../app/preferences.js';
import type { Measures } from '../../../quantities/unit-system.js';
import { Field } from '../../people/field.js';
import { numberOf, textOf, unitOf, wordsOf } from '../values/kinds.js';
import { keyOf } from '../values/unit-values.js';
import { NumberInput } from './number-input.js';
import { RegistryForm } from './registry-form.js';

interface SiteValues {
  key: string;
  name: string;
  altitude: string;
  latitude: string;
  longitude: string;
  timeZone: string;
  climate: string;
  region: string;
  currency: string;
  price: string;
}

const ownZone = Intl.DateTimeFormat().resolvedOptions().timeZone;
const zones = Intl.supportedValuesOf('timeZone');

const valuesOf = (draft: SiteDraft | null, measures: Measures): SiteValues => ({
  key: draft?.key ?? '',
  name: draft?.name ?? '',
  altitude: textOf(draft?.altitude_m ?? null, 'height', measures),
  latitude: textOf(draft?.latitude_deg ?? null, 'plain', measures),
  longitude: textOf(draft?.longitude_deg ?? null, 'plain', measures),
  timeZone: draft?.timeZone ?? ownZone,
  climate: draft?.climate ?? '',
  region: draft?.region ?? '',
  currency: draft?.currency ?? '',
  price: textOf(draft?.energyPrice_per_kWh ?? null, 'plain', measures),
});

/** As it is sent, or what is missing. */
function draftOf(values: SiteValues, measures: Measures, before: SiteDraft | null): SiteDraft | string {
  const name = values.name.trim();
  if (name === '') return 'The site needs a name.';
  const number = (text: string, kind: 'height' | 'plain', old: number | null | undefined) =>
    numberOf(text, kind, measures, old ?? null);
  const altitude_m = number(values.altitude, 'height', before?.altitude_m);
  const latitude_deg = number(values.latitude, 'plain', before?.latitude_deg);
  const longitude_deg = number(values.longitude, 'plain', before?.longitude_deg);
  const energyPrice_per_kWh = number(values.price, 'plain', before?.energyPrice_per_kWh);
  if ([altitude_m, latitude_deg, longitude_deg, energyPrice_per_kWh].some(Number.isNaN))
    return 'A figure is no number.';
  return {
    ...{ key: before?.key ?? (values.key === '' ? keyOf(name) : values.key), name },
    ...{ altitude_m, latitude_deg, longitude_deg, energyPrice_per_kWh, timeZone: values.timeZone },
    ...{
      climate: wordsOf(values.climate),
      region: wordsOf(values.region),
      currency: wordsOf(values.currency),
    },
  };
}

interface SiteFormProps {
  /** The site as it is registered; null: a new one. */
  before: SiteDraft | null;
  start?: { key: string; name: string };
  save: (draft: SiteDraft, because: Because) => Promise<unknown>;
}

/** A site: its name and clock, and the height that gauge pressures hang on. */
export function SiteForm({ before, start, save }: SiteFormProps) {
  const { units: measures } = usePreferences();
  const [values, setValues] = useState(() => ({ ...valuesOf(before, measures), ...start }));
  const change = (some: Partial<SiteValues>) => setValues((old) => ({ ...old, ...some }));
  return (
    <RegistryForm
      what="site"
      isNew={before === null}
      draft={() => draftOf(values, measures, before)}
      timeZone={values.timeZone}
      save={save}
    >
      <SiteFields {...{ values, change, measures, isNew: before === null }} />
    </RegistryForm>
  );
}

interface SiteFieldsProps {
  values: SiteValues;
  change: (some: Partial<SiteValues>) => void;
  measures: Measures;
  isNew: boolean;
}

function SiteFields({ values, change, measures, isNew }: SiteFieldsProps) {
  return (
    <>
      <div className="form-row">
        <Field label="Name of the site" value={values.name} onChange={(name) => change({ name })} />
        {isNew && (
          <Field
            label="Name in the topics of its gateway"
            hint="Small letters, digits and hyphens; left empty, it follows from the name."
            required={false}
            value={values.key}
            onChange={(key) => change({ key: keyOf(key) === '' ? '' : key.toLowerCase() })}
          />
        )}
        <NumberInput
          words="Height above the sea"
          unit={unitOf('height', measures)}
          value={values.altitude}
          assumed="0"
          onChange={(altitude) => change({ altitude })}
        />
        <label className="field">
          Time zone
          <select value={values.timeZone} onChange={({ target }) => change({ timeZone: target.value })}>
            {[...new Set([values.timeZone, ...zones])].map((zone) => (
              <option key={zone} value={zone}>
                {zone.replaceAll('_', ' ')}
              </option>
            ))}
          </select>
        </label>
      </div>
      <details>
        <summary>Climate, region, energy price, position</summary>
        <div className="form-row">
          <Field
            label="Climate, in your words"
            hint="By which the field study groups sites; left empty: not known."
            required={false}
            value={values.climate}
            onChange={(climate) => change({ climate })}
          />
          <Field
            label="Region, in your words"
            required={false}
            value={values.region}
            onChange={(region) => change({ region })}
          />
          <Field
            label="Currency"
            hint="Three capital letters, as EUR."
            required={false}
            value={values.currency}
            onChange={(currency) => change({ currency: currency.toUpperCase() })}
          />
          <NumberInput
            words="Energy price a kWh"
            unit=""
            value={values.price}
            onChange={(price) => change({ price })}
          />
          <NumberInput
            words="Latitude"
            unit="°"
            value={values.latitude}
            onChange={(latitude) => change({ latitude })}
          />
          <NumberInput
            words="Longitude"
            unit="°"
            value={values.longitude}
            onChange={(longitude) => change({ longitude })}
          />
        </div>
      </details>
    </>
  );
}
