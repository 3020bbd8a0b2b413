import { Link } from '@tanstack/react-router';
import type { UnitDetail } from '../../../api/types.js';
import { PageTitle } from '../../../components/page-title.js';
import { problemsOf } from '../../../components/problem/problems.js';
import { useUnits } from '../../../components/site.js';
import { UrgencyWord } from '../../../components/urgency/urgency.js';
import { count, formatDuration, show } from '../../../quantities/format-quantity.js';

export function UnitHead({ detail }: { detail: UnitDetail }) {
  const units = useUnits();
  const { unit, site } = detail;
  const problems = problemsOf(detail);
  const age_s = detail.lastReading === null ? null : (Date.now() - Date.parse(detail.lastReading)) / 1000;
  return (
    <header className="unit-head">
      <PageTitle>{`${unit.name}, ${site.name} – Coldrounds`}</PageTitle>
      <p className="small">
        <Link to="/">The round</Link>
      </p>
      <h1>
        {unit.name}, {site.name}
      </h1>
      <p className="unit-facts">
        {unit.refrigerant}
        {unit.safetyClass && `, safety class ${unit.safetyClass}`};{' '}
        {show(unit.nominalCapacity_W, 'cooling-capacity', units)}; {unit.condenser}-cooled;{' '}
        {count(detail.circuits.length, 'circuit')}, {count(detail.modules.length, 'backup module')}.
      </p>
      <p className="unit-state">
        {problems[0] ? (
          <>
            <UrgencyWord urgency={problems[0].urgency} />{' '}
            {problems.length === 1 ? 'One problem.' : `${problems.length} problems, the most urgent first.`}
          </>
        ) : (
          'Nothing found.'
        )}{' '}
        {age_s === null ? (
          <strong>No reading has come from this unit yet.</strong>
        ) : age_s > 900 ? (
          <strong>The last reading is {formatDuration(age_s)} old; everything below is as of then.</strong>
        ) : (
          <>Last reading {age_s < 60 ? 'less than a minute' : formatDuration(age_s)} ago.</>
        )}
        <span className="quiet"> Times are the site’s ({site.timeZone.replace('_', ' ')}).</span>
        {detail.unit.online === false && <strong> Its gateway reports it offline.</strong>}
      </p>
    </header>
  );
}
