import type { UnitDetail } from '../../../api/types.js';
import { useTimes } from '../../../components/zone.js';

type NotJudged = UnitDetail['notJudged'][number];

/** What could not be judged although its telemetry is there; nothing where all could. */
export function NotJudgedSection({ detail }: { detail: UnitDetail }) {
  const times = useTimes();
  if (detail.notJudged.length === 0) return null;
  return (
    <section id="not-judged" className="unit-section">
      <h2>Not judged</h2>
      <p>
        The telemetry below is stored, but its judgement fails. All else on this page is judged without it.
      </p>
      <ul>
        {detail.notJudged.map((entry) => (
          <li key={`${entry.kind} ${entry.number} ${entry.startsAt}`}>
            {subjectWords(entry, times.instant)}: {entry.reason}{' '}
            <span className="quiet">(last tried {times.instant(Date.parse(entry.failedAt) / 1000)})</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function subjectWords({ kind, number, startsAt }: NotJudged, instant: (epoch_s: number) => string): string {
  const at = startsAt === null ? '' : instant(Date.parse(startsAt) / 1000);
  switch (kind) {
    case 'window':
      return `Circuit ${number}, the two hours from ${at}`;
    case 'closing':
      return `Backup module ${number}, the closing of ${at}`;
    case 'circuit':
      return `Circuit ${number} as a whole`;
    case 'module':
      return `Backup module ${number} as a whole`;
  }
}
