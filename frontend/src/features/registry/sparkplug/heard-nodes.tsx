import type { HeardNode } from '../../../api/registry/registry.js';
import { count, decimals, formatDuration } from '../../../quantities/format-quantity.js';
import { nodeKey, nodeWords } from './point-words.js';

const ago = (instant: string) => formatDuration(Math.max(0, (Date.now() - Date.parse(instant)) / 1000));

/** Edge nodes and devices of Sparkplug B that no unit takes anything from. */
export function HeardNodes({ nodes }: { nodes: readonly HeardNode[] }) {
  if (nodes.length === 0) return null;
  return (
    <section className="registry-section">
      <h2>Of Sparkplug B</h2>
      <p className="registry-lead">
        No unit takes a metric of these. Open the unit in the registry and choose them there, under “Metrics
        of Sparkplug B”; register it first where it is not yet.
      </p>
      <ul className="heard">
        {nodes.map((node) => (
          <li key={nodeKey(node)}>
            <h3>{nodeWords(node)}</h3>
            <p>
              {count(node.messages, 'message')}, the last {ago(node.lastAt)} ago; {stateWords(node)}.
            </p>
            {node.metrics.length > 0 && (
              <p className="heard-topics">
                {node.metrics
                  .map(({ name, unit }) => (unit === null ? name : `${name} (${unit})`))
                  .join(', ')}
                {(node.metricCount ?? 0) > node.metrics.length &&
                  `, and ${decimals(node.metricCount! - node.metrics.length, 0)} more`}
              </p>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

function stateWords({ alive, bornAt, rebirths, metricCount }: HeardNode): string {
  const asked =
    rebirths === 0 ? '' : `, asked for its birth ${rebirths === 1 ? 'once' : `${rebirths} times`}`;
  if (bornAt === null) return `it has not announced its metrics${asked}`;
  const born = `announced ${count(metricCount ?? 0, 'metric')} ${ago(bornAt)} ago`;
  return `${alive === false ? 'it is offline; it ' : ''}${born}${asked}`;
}
