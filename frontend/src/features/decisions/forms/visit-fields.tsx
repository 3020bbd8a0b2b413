import { useQuery } from '@tanstack/react-query';
import { causesQuery, type DecisionWish } from '../../../api/decisions/decisions.js';
import { usePreferences } from '../../../app/preferences.js';
import type { UnitDetail } from '../../../api/types.js';
import { Cautions, hazardsOf } from '../../../components/cautions.js';
import { pascalPerPsi, type UnitSystem } from '../../../quantities/unit-system.js';

type Close = Extract<DecisionWish, { kind: 'close' }>;
type Sent = NonNullable<Close['readings']>[number];

interface TypedReading {
  circuit: number;
  quantity: Sent['quantity'];
  value: string;
  /** As `datetime-local` has it, by the reader's clock. */
  at: string;
}

export interface VisitDraft {
  /** A cause, `other` or `nothing`; empty: not said yet. */
  seen: string;
  other: string;
  parts: string;
  readings: TypedReading[];
}

export const emptyVisit: VisitDraft = { seen: '', other: '', parts: '', readings: [] };

const quantityWords: Record<Sent['quantity'], string> = {
  'suction-pressure': 'suction pressure, gauge',
  'discharge-pressure': 'discharge pressure, gauge',
  'suction-temperature': 'suction temperature',
  'discharge-temperature': 'discharge temperature',
  'liquid-temperature': 'liquid temperature',
};

const isPressure = (quantity: Sent['quantity']) => quantity.endsWith('pressure');

/** A typed value in Pa (over ambient) or K; null: not a number. */
export function siOf(quantity: Sent['quantity'], text: string, units: UnitSystem): number | null {
  const value = Number(text.trim().replace(',', '.'));
  if (text.trim() === '' || !Number.isFinite(value)) return null;
  if (isPressure(quantity)) return value * (units === 'si' ? 1e5 : pascalPerPsi);
  return units === 'si' ? value + 273.15 : (value - 32) / 1.8 + 273.15;
}

/** What the visit found, as it is sent, or what is missing. */
export function visitOf(
  visit: VisitDraft,
  units: UnitSystem,
): Pick<Close, 'seen' | 'parts' | 'readings'> | string {
  if (visit.seen === '') return 'Say what the visit found.';
  if (visit.seen === 'other' && visit.other.trim() === '') return 'Say in words what the cause was.';
  const seen =
    visit.seen === 'nothing'
      ? ({ kind: 'nothing' } as const)
      : visit.seen === 'other'
        ? ({ kind: 'other', words: visit.other.trim() } as const)
        : ({ kind: 'cause', cause: visit.seen } as Extract<Close['seen'], { kind: 'cause' }>);
  const parts = visit.parts
    .split(/[\n,;]+/)
    .map((part) => part.trim())
    .filter((part) => part !== '');
  const readings: Sent[] = [];
  for (const { circuit, quantity, value: typed, at } of visit.readings) {
    const value = siOf(quantity, typed, units);
    const at_s = Date.parse(at) / 1000;
    if (value === null || !Number.isFinite(at_s)) return 'A reading has no value or no time.';
    readings.push({
      ...{ circuit, quantity, value, at_s },
      ...(isPressure(quantity) ? { reference: 'gauge' as const } : {}),
    });
  }
  return { seen, parts, readings };
}

/** Now, to the minute, as `datetime-local` has it. */
const nowLocally = (): string => {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 16);
};

interface VisitFieldsProps {
  detail: UnitDetail;
  said: string | null;
  visit: VisitDraft;
  change: (change: Partial<VisitDraft>) => void;
}

/** What a visit found: the cause seen, parts, and values read by hand. */
export function VisitFields({ detail, said, visit, change }: VisitFieldsProps) {
  const { data } = useQuery(causesQuery);
  const causes = data?.causes ?? [];
  const first = causes.find(({ cause }) => cause === said);
  return (
    <>
      <Cautions
        hazards={hazardsOf({
          findings: detail.findings,
          safetyClass: detail.unit.safetyClass,
          modules: detail.modules.length,
        })}
      />
      <label className="field">
        What the visit found
        <select required value={visit.seen} onChange={(event) => change({ seen: event.target.value })}>
          <option value="">choose</option>
          {first && <option value={first.cause}>{first.name}, as was said here</option>}
          <option value="nothing">nothing wrong</option>
          <option value="other">another cause, in words</option>
          {causes
            .filter(({ cause }) => cause !== said && cause !== 'something-else')
            .map(({ cause, name }) => (
              <option key={cause} value={cause}>
                {name}
              </option>
            ))}
        </select>
      </label>
      {visit.seen === 'other' && (
        <label className="field">
          The cause
          <input
            type="text"
            value={visit.other}
            onChange={(event) => change({ other: event.target.value })}
          />
        </label>
      )}
      <label className="field">
        Parts used, separated by commas
        <input type="text" value={visit.parts} onChange={(event) => change({ parts: event.target.value })} />
      </label>
      <Readings detail={detail} visit={visit} change={change} />
    </>
  );
}

function Readings({ detail, visit, change }: Omit<VisitFieldsProps, 'said'>) {
  const circuit = detail.circuits[0]?.number;
  const set = (index: number, one: Partial<TypedReading>) =>
    change({ readings: visit.readings.map((entry, n) => (n === index ? { ...entry, ...one } : entry)) });
  return (
    <fieldset>
      <legend>Values read by hand</legend>
      <p className="small quiet">
        Each is compared with telemetry of that minute, which shows whether the sensor is right.
      </p>
      {visit.readings.map((reading, index) => (
        <ReadingFields
          key={index}
          reading={reading}
          circuits={detail.circuits.map(({ number }) => number)}
          set={(one) => set(index, one)}
          remove={() => change({ readings: visit.readings.filter((_, n) => n !== index) })}
        />
      ))}
      {circuit !== undefined && (
        <button
          type="button"
          className="button"
          onClick={() =>
            change({
              readings: [
                ...visit.readings,
                { circuit, quantity: 'suction-pressure', value: '', at: nowLocally() },
              ],
            })
          }
        >
          Add a reading
        </button>
      )}
    </fieldset>
  );
}

interface ReadingFieldsProps {
  reading: TypedReading;
  circuits: number[];
  set: (change: Partial<TypedReading>) => void;
  remove: () => void;
}

function ReadingFields({ reading, circuits, set, remove }: ReadingFieldsProps) {
  const { units } = usePreferences();
  const unitOf = (quantity: Sent['quantity']) =>
    isPressure(quantity) ? (units === 'si' ? 'bar' : 'psi') : units === 'si' ? '°C' : '°F';
  return (
    <div className="decision-reading">
      <label>
        Circuit
        <select value={reading.circuit} onChange={({ target }) => set({ circuit: Number(target.value) })}>
          {circuits.map((number) => (
            <option key={number}>{number}</option>
          ))}
        </select>
      </label>
      <label>
        Quantity
        <select
          value={reading.quantity}
          onChange={({ target }) => set({ quantity: target.value as Sent['quantity'] })}
        >
          {(Object.keys(quantityWords) as Sent['quantity'][]).map((quantity) => (
            <option key={quantity} value={quantity}>
              {quantityWords[quantity]}
            </option>
          ))}
        </select>
      </label>
      <label>
        Value, {unitOf(reading.quantity)}
        <input
          type="text"
          inputMode="decimal"
          value={reading.value}
          onChange={({ target }) => set({ value: target.value })}
        />
      </label>
      <label>
        Read at (your clock)
        <input
          type="datetime-local"
          value={reading.at}
          onChange={({ target }) => set({ at: target.value })}
        />
      </label>
      <button type="button" className="button small" onClick={remove}>
        Remove this reading
      </button>
    </div>
  );
}
