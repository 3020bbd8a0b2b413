import { useQuery } from '@tanstack/react-query';
import { useNavigate } from '@tanstack/react-router';
import { useState } from 'react';
import {
  moveCircuit,
  moveModule,
  registeredSiteQuery,
  registeredSitesQuery,
  registeredUnitQuery,
  type RegisteredUnit,
  type SiteDraft,
} from '../../api/registry/registry.js';
import { FormError } from '../../components/form-error.js';
import { useAllAnew } from '../people/use-session.js';
import { BecauseFields, becauseOf, type BecauseValues } from './forms/because-fields.js';

interface MovePartProps {
  site: SiteDraft;
  unit: RegisteredUnit;
}

/** Moves a circuit or a backup module that is registered at the wrong unit, or was built into another one. */
export function MovePart({ site, unit }: MovePartProps) {
  const [opened, setOpened] = useState(false);
  return (
    <details onToggle={({ currentTarget }) => setOpened(currentTarget.open)}>
      <summary>Move a circuit or a backup module to another unit</summary>
      {opened && <MoveForm site={site} unit={unit} />}
    </details>
  );
}

function MoveForm({ site, unit }: MovePartProps) {
  const { draft } = unit;
  const parts = [
    ...draft.circuits.map(({ number }) => ({ kind: 'circuit' as const, number })),
    ...draft.modules.map(({ number }) => ({ kind: 'module' as const, number })),
  ];
  const [chosen, setChosen] = useState(0);
  const [to, setTo] = useState({ site: site.key, unit: '', number: '', circuits: '' });
  const [because, setBecause] = useState<BecauseValues>({ reason: '', since: '', day: '' });
  const [trouble, setTrouble] = useState<string | null>(null);
  const allAnew = useAllAnew();
  const navigate = useNavigate();
  const { kind, number } = parts[chosen];
  const change = (some: Partial<typeof to>) => setTo((old) => ({ ...old, ...some }));
  const submit = async () => {
    const said = becauseOf(because, site.timeZone);
    if (typeof said === 'string') return setTrouble(said);
    const place = { site: to.site, unit: to.unit, number: Number(to.number) };
    const path = { site: site.key, unit: draft.key };
    try {
      if (kind === 'circuit') await moveCircuit({ ...path, circuit: number }, place, said);
      else
        await moveModule({ ...path, module: number }, { ...place, circuits: numbersIn(to.circuits) }, said);
      await navigate({ to: '/registry/$site/units/$unit', params: place });
      await allAnew();
    } catch (error) {
      setTrouble((error as Error).message);
    }
  };
  return (
    <form
      className="form registry-form"
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
    >
      <p className="quiet small">
        Its readings and what was judged of it go with it. Findings on it at this unit end, and it is judged
        again at the other.
      </p>
      <PlaceFields {...{ site, parts, chosen, to }} choose={setChosen} change={change} />
      <BecauseFields values={because} change={(some) => setBecause((old) => ({ ...old, ...some }))} />
      <FormError why={trouble} />
      <button type="submit" className="button">
        Move it
      </button>
    </form>
  );
}

interface Place {
  site: string;
  unit: string;
  number: string;
  circuits: string;
}

interface PlaceFieldsProps {
  site: SiteDraft;
  parts: readonly { kind: 'circuit' | 'module'; number: number }[];
  chosen: number;
  choose: (index: number) => void;
  to: Place;
  change: (some: Partial<Place>) => void;
}

/** Which part, and where it goes. */
function PlaceFields({ site, parts, chosen, choose, to, change }: PlaceFieldsProps) {
  const sites = useQuery(registeredSitesQuery);
  const units = useQuery(registeredSiteQuery(to.site));
  const target = useQuery({
    ...registeredUnitQuery({ site: to.site, unit: to.unit }),
    enabled: to.unit !== '',
  });
  return (
    <div className="form-row">
      <label className="field">
        Part
        <select value={chosen} onChange={(event) => choose(Number(event.target.value))}>
          {parts.map((part, index) => (
            <option key={index} value={index}>
              {part.kind === 'circuit' ? 'Circuit' : 'Backup module'} {part.number}
            </option>
          ))}
        </select>
      </label>
      <label className="field">
        To site
        <select value={to.site} onChange={(event) => change({ site: event.target.value, unit: '' })}>
          {(sites.data?.sites ?? [{ draft: site }]).map((one) => (
            <option key={one.draft.key} value={one.draft.key}>
              {one.draft.name}
            </option>
          ))}
        </select>
      </label>
      <label className="field">
        To unit
        <select required value={to.unit} onChange={(event) => change({ unit: event.target.value })}>
          <option value="">choose</option>
          {units.data?.registered
            .filter(({ retiredAt }) => retiredAt === null)
            .map((one) => (
              <option key={one.key} value={one.key}>
                {one.name}
              </option>
            ))}
        </select>
      </label>
      <label className="field">
        Number there
        <input
          required
          inputMode="numeric"
          pattern="[1-9][0-9]?"
          value={to.number}
          onChange={(event) => change({ number: event.target.value })}
        />
      </label>
      {parts[chosen].kind === 'module' && (
        <label className="field">
          Circuits whose valves it shuts there
          <input
            required
            placeholder={target.data?.draft.circuits.map((one) => one.number).join(', ')}
            value={to.circuits}
            onChange={(event) => change({ circuits: event.target.value })}
          />
        </label>
      )}
    </div>
  );
}

/** `1, 2` as the numbers in it. */
const numbersIn = (text: string): number[] => [...text.matchAll(/\d+/g)].map(([digits]) => Number(digits));
