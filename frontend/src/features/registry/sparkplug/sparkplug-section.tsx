import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import type { UnitPath } from '../../../api/queries.js';
import { unitPointsQuery, type UnitPoints } from '../../../api/registry/sparkplug.js';
import { Failed, Loading } from '../../../components/states.js';
import { count } from '../../../quantities/format-quantity.js';
import { useMay } from '../../people/use-session.js';
import { PointForm } from './point-form.js';
import { nodeKey, nodeWords, quantityKey, quantityWords } from './point-words.js';

/** Which metrics of Sparkplug B are which quantities of a unit. */
export function SparkplugSection({ path }: { path: UnitPath }) {
  const points = useQuery(unitPointsQuery(path));
  return (
    <section className="registry-section" id="sparkplug">
      <h2>Metrics of Sparkplug B</h2>
      {points.isPending ? (
        <Loading what="its metrics" />
      ) : points.isError ? (
        <Failed what="its metrics" error={points.error} retry={() => void points.refetch()} />
      ) : (
        <Points path={path} unit={points.data} />
      )}
    </section>
  );
}

function Points({ path, unit }: { path: UnitPath; unit: UnitPoints }) {
  const may = useMay('register');
  const [chosen, setChosen] = useState('');
  const { points, nodes } = unit;
  const node = nodes.find((one) => nodeKey(one) === chosen);
  return (
    <>
      {points.length === 0 ? (
        <p className="registry-lead">
          {nodes.length === 0
            ? 'Nothing of Sparkplug B is heard. If its gateway speaks it, it appears here with its first birth message; a gateway that sends SenML needs nothing here.'
            : 'None is chosen. A gateway that sends SenML needs nothing here.'}
        </p>
      ) : (
        <PointTable points={points} />
      )}
      {may && nodes.length > 0 && (
        <div className="form">
          <label className="field">
            Choose metrics of an edge node or device
            <select value={chosen} onChange={({ target }) => setChosen(target.value)}>
              <option value="">choose</option>
              {nodes.map((one) => (
                <option key={nodeKey(one)} value={nodeKey(one)}>
                  {nodeWords(one)}
                  {one.metricCount === null ? ', no birth yet' : `, ${count(one.metricCount, 'metric')}`}
                  {one.units.length > 0 && `, of ${one.units.slice(0, 3).join(', ')}`}
                </option>
              ))}
            </select>
          </label>
        </div>
      )}
      {node !== undefined && (
        <PointForm
          key={`${chosen} ${unit.version}`}
          path={path}
          unit={unit}
          node={node}
          saved={() => setChosen('')}
        />
      )}
    </>
  );
}

function PointTable({ points }: { points: UnitPoints['points'] }) {
  return (
    <div className="scroll-x">
      <table>
        <thead>
          <tr>
            <th scope="col">Quantity</th>
            <th scope="col">Metric</th>
            <th scope="col">Edge node or device</th>
            <th scope="col">Sent in</th>
          </tr>
        </thead>
        <tbody>
          {points.map((point) => (
            <tr key={quantityKey(point)}>
              <th scope="row">{quantityWords(point)}</th>
              <td>{point.metric}</td>
              <td>{nodeWords(point)}</td>
              <td>
                {point.unit}
                {point.scale !== 1 && `, times ${point.scale}`}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
