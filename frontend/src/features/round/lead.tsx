import type { Round } from '../../api/types.js';
import { count, decimals } from '../../quantities/format-quantity.js';
import { timeWords } from '../../quantities/site-time.js';
import { FleetEnergySentence } from '../energy/fleet-energy.js';
import { SinceThen } from '../changes/since-then.js';

/** The round's state in one or two sentences, before any list. */
export function Lead({ round, past }: { round: Round; past: boolean }) {
  const { counts } = round;
  const waiting = counts.thisWeek + counts.nextVisit;
  return (
    <header className="lead">
      <div className="lead-head">
        <h1>
          {counts.today === 0
            ? 'No unit needs action today.'
            : `${count(counts.today, 'unit needs', 'units need')} action today.`}
        </h1>
        <p className="lead-date">
          {past ? 'The round as it was known on' : 'The round as of'}{' '}
          <time dateTime={round.asOf}>{timeWords(Date.parse(round.asOf), null, 'full')}</time>
        </p>
      </div>
      <p className="lead-text">
        {waiting > 0 && (
          <>
            {[
              counts.thisWeek > 0 ? `${decimals(counts.thisWeek, 0)} this week` : '',
              counts.nextVisit > 0 ? `${decimals(counts.nextVisit, 0)} can wait for the next visit` : '',
            ]
              .filter(Boolean)
              .join(', ')}
            {'; '}
          </>
        )}
        {decimals(counts.watch, 0)} to watch, {decimals(counts.quiet - counts.neverHeard, 0)} without findings
        {counts.neverHeard > 0 && `, ${decimals(counts.neverHeard, 0)} registered and never heard`}.
        Monitored: {count(counts.units, 'unit')}, {count(counts.circuits, 'circuit')},{' '}
        {count(counts.modules, 'backup module')}
        {counts.silent > 0 && `; ${count(counts.silent, 'unit sends', 'units send')} no data`}.
      </p>
      {/* Comes a little later; its room is kept, so that nothing moves. */}
      {!past && (
        <p className="lead-text lead-more">
          <FleetEnergySentence />
          <SinceThen />
        </p>
      )}
    </header>
  );
}

/** Of a moment before judging began nothing can be told, least of all that nothing was wrong. */
export function NotKnown({ round }: { round: Round }) {
  const at = (instant: string) => timeWords(Date.parse(instant), null, 'full');
  return (
    <header className="lead">
      <div className="lead-head">
        <h1>Nothing is known of that time.</h1>
        <p className="lead-date">
          The round on <time dateTime={round.asOf}>{at(round.asOf)}</time>
        </p>
      </div>
      <p className="lead-text">
        {round.judgingSince === null
          ? 'Nothing has been judged yet.'
          : `Judging began on ${at(round.judgingSince)}. What the units were like before is not known here.`}
      </p>
    </header>
  );
}
