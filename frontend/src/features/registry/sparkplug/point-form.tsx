import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import type { UnitPath } from '../../../api/queries.js';
import {
  changePoints,
  sparkplugMetricsQuery,
  type NodePath,
  type SparkplugMetric,
  type UnitPoints,
} from '../../../api/registry/sparkplug.js';
import { FormError } from '../../../components/form-error.js';
import { Failed, Loading } from '../../../components/states.js';
import { Field } from '../../people/field.js';
import { useAllAnew } from '../../people/use-session.js';
import { choicesOf, notUsed, pointsOf, quantityKey, quantityWords, type Choice } from './point-words.js';

/** Metrics that are shown at once. */
const shown = 200;

interface PointFormProps {
  path: UnitPath;
  unit: UnitPoints;
  node: NodePath;
  saved: () => void;
}

/** Chooses which metrics of an edge node or device are which quantities. */
export function PointForm(props: PointFormProps) {
  const metrics = useQuery(sparkplugMetricsQuery(props.path, props.node));
  if (metrics.isPending) return <Loading what="its metrics" />;
  if (metrics.isError)
    return <Failed what="its metrics" error={metrics.error} retry={() => void metrics.refetch()} />;
  return <Choices {...props} metrics={metrics.data.metrics} />;
}

function Choices({ path, unit, node, saved, metrics }: PointFormProps & { metrics: SparkplugMetric[] }) {
  const [choices, setChoices] = useState(() => choicesOf(unit, node, metrics));
  const [part, setPart] = useState('');
  const [reason, setReason] = useState('');
  const [trouble, setTrouble] = useState<string | null>(null);
  const allAnew = useAllAnew();
  const submit = async () => {
    const wanted = pointsOf(unit, node, choices);
    if (typeof wanted === 'string') return setTrouble(wanted);
    if (reason.trim() === '') return setTrouble('Why is it changed?');
    try {
      await changePoints(path, wanted, unit.version, reason.trim());
      await allAnew();
      saved();
    } catch (error) {
      setTrouble((error as Error).message);
    }
  };
  const fitting = metrics.filter(({ name }) => name.toLowerCase().includes(part.toLowerCase()));
  // What is chosen stands first.
  const sorted = [...fitting].sort((a, b) => Number(b.name in choices) - Number(a.name in choices));
  return (
    <form
      className="form registry-form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
    >
      {metrics.length > 20 && (
        <Field label="Only metrics with these letters" value={part} onChange={setPart} required={false} />
      )}
      <p className="quiet small">
        What stands here before anything is registered is a guess by the names. Pressures are read as gauge or
        absolute by what the unit says of its transducers.
      </p>
      <div className="scroll-x">
        <table className="sparkplug-metrics">
          <thead>
            <tr>
              <th scope="col">Metric</th>
              <th scope="col">Quantity</th>
              <th scope="col">Sent in</th>
              <th scope="col">Times</th>
            </tr>
          </thead>
          <tbody>
            {sorted.slice(0, shown).map((metric) => (
              <MetricRow
                key={metric.name}
                metric={metric}
                quantities={unit.quantities}
                choice={choices[metric.name] ?? notUsed}
                choose={(choice) => setChoices((old) => ({ ...old, [metric.name]: choice }))}
              />
            ))}
          </tbody>
        </table>
      </div>
      {sorted.length > shown && <p className="quiet">The first {shown} are shown.</p>}
      <Field label="Reason" value={reason} onChange={setReason} />
      <FormError why={trouble} />
      <button type="submit" className="button">
        Save the metrics
      </button>
    </form>
  );
}

interface MetricRowProps {
  metric: SparkplugMetric;
  quantities: UnitPoints['quantities'];
  choice: Choice;
  choose: (choice: Choice) => void;
}

function MetricRow({ metric: { name, unit, value }, quantities, choice, choose }: MetricRowProps) {
  const known = quantities.find((one) => quantityKey(one) === choice.quantity);
  return (
    <tr>
      <th scope="row">
        {name}
        <br />
        <span className="quiet small">
          {value === null ? 'no value' : String(value)} {unit}
        </span>
      </th>
      <td>
        <select
          aria-label={`What ${name} is`}
          value={choice.quantity}
          onChange={({ target }) => {
            const next = quantities.find((one) => quantityKey(one) === target.value);
            const keeps = next?.units.includes(choice.unit) ?? false;
            choose({ ...choice, quantity: target.value, unit: keeps ? choice.unit : '' });
          }}
        >
          <option value="">not used</option>
          {quantities.map((one) => (
            <option key={quantityKey(one)} value={quantityKey(one)}>
              {quantityWords(one)}
            </option>
          ))}
        </select>
      </td>
      <td>
        {known !== undefined && (
          <select
            aria-label={`Unit of ${name}`}
            value={choice.unit}
            onChange={({ target }) => choose({ ...choice, unit: target.value })}
          >
            <option value="">choose</option>
            {known.units.map((one) => (
              <option key={one} value={one}>
                {one}
              </option>
            ))}
          </select>
        )}
      </td>
      <td>
        {known !== undefined && (
          <input
            aria-label={`Factor of ${name}`}
            inputMode="decimal"
            size={5}
            placeholder="1"
            value={choice.scale}
            onChange={({ target }) => choose({ ...choice, scale: target.value })}
          />
        )}
      </td>
    </tr>
  );
}
