import type { RegistryChange } from '../../api/registry/registry.js';
import { useTimes } from '../../components/zone.js';

const kindWords: Record<RegistryChange['kind'], string> = {
  add: 'added',
  edit: 'changed',
  retire: 'retired',
  'bring-back': 'brought back into service',
  move: 'moved',
  document: 'read from a registry document',
};

/** Figures of a change that are listed before the rest is only counted. */
const most = 12;

/** Who changed what, why, and since when it holds; newest first. */
export function ChangeList({ changes }: { changes: RegistryChange[] }) {
  const times = useTimes();
  if (changes.length === 0)
    return <p className="quiet">No change is recorded: it was registered before changes were kept.</p>;
  return (
    <ul className="registry-changes">
      {changes.map(({ id, changedAt, who, kind, subject, reason, holdsFrom, differences }) => (
        <li key={id}>
          <p>
            {times.instant(Date.parse(changedAt) / 1000)}: {subject} {kindWords[kind]}
            {kind === 'document' ? '.' : ` by ${who}. ${reason}`}
          </p>
          <p className="small quiet">
            {holdsFrom === null
              ? 'Holds for all time.'
              : `Holds since ${times.instant(Date.parse(holdsFrom) / 1000)}.`}
          </p>
          {differences.length > 0 && (
            <ul className="small">
              {differences.slice(0, most).map(({ field, before, after }) => (
                <li key={field}>
                  {field}: {before ?? 'not known'} → {after ?? 'not known'}
                </li>
              ))}
              {differences.length > most && <li>and {differences.length - most} more figures</li>}
            </ul>
          )}
        </li>
      ))}
    </ul>
  );
}
