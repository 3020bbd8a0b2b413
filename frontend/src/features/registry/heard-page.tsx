import './registry.css';
import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { heardQuery, type HeardUnit } from '../../api/registry/registry.js';
import { PageTitle } from '../../components/page-title.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { count, decimals, formatDuration } from '../../quantities/format-quantity.js';
import { useMay } from '../people/use-session.js';
import { HeardNodes } from './sparkplug/heard-nodes.js';

/** What is heard over the broker and belongs to nothing in the registry, with the way to register it. */
export function HeardPage() {
  const heard = useQuery({ ...heardQuery, refetchInterval: 5_000 });
  return (
    <>
      <PageTitle>Heard but not known – Coldrounds</PageTitle>
      <p>
        <Link to="/registry">Registry</Link>
      </p>
      <h1>Heard but not known</h1>
      <p className="registry-lead">
        Telemetry that arrives on topics of the contract and belongs to no registered unit, circuit or backup
        module. It is kept for some days; once its unit is registered, it is read in.
      </p>
      {heard.isPending ? (
        <Loading what="what is heard" />
      ) : heard.isError ? (
        <Failed what="what is heard" error={heard.error} retry={() => void heard.refetch()} />
      ) : heard.data.units.length + heard.data.sparkplug.length === 0 ? (
        <TooLittle>
          Everything that is heard is registered. A gateway that has just been connected appears here with its
          first message.
        </TooLittle>
      ) : (
        <>
          <ul className="heard">
            {heard.data.units.map((unit) => (
              <Heard key={`${unit.site}/${unit.unit}`} unit={unit} />
            ))}
          </ul>
          <HeardNodes nodes={heard.data.sparkplug} />
        </>
      )}
    </>
  );
}

const ago = (instant: string) => formatDuration(Math.max(0, (Date.now() - Date.parse(instant)) / 1000));

function Heard({ unit }: { unit: HeardUnit }) {
  const { topics, messages, kept, lastAt } = unit;
  return (
    <li>
      <h2>
        {unit.site}/{unit.unit}
      </h2>
      <p>
        {count(messages, 'message')}, the last {ago(lastAt)} ago;{' '}
        {kept === messages ? 'all' : decimals(kept, 0)} kept to be read in.
      </p>
      <ul className="heard-topics">
        {topics.map(({ topic, stream, number, perMinute, names }) => (
          <li key={topic}>
            <strong>
              {streamWords[stream]}
              {number !== null && ` ${number}`}
            </strong>
            <span className="quiet">
              {perMinute === null
                ? ', one message'
                : `, ${decimals(perMinute, perMinute < 10 ? 1 : 0)} messages a minute`}
            </span>
            <br />
            {names.length === 0
              ? 'Nothing in it can be read as SenML.'
              : names.map(({ name, unit: sent }) => (sent === null ? name : `${name} (${sent})`)).join(', ')}
          </li>
        ))}
      </ul>
      <Register unit={unit} />
    </li>
  );
}

const streamWords: Record<HeardUnit['topics'][number]['stream'], string> = {
  circuits: 'circuit',
  water: 'water side',
  condenser: 'condenser',
  backup: 'backup module',
  closing: 'closings of backup module',
  presence: 'presence of the gateway',
};

function Register({ unit: { site, unit, siteKnown, unitKnown, retired } }: { unit: HeardUnit }) {
  const may = useMay('register');
  if (!may) return <p className="quiet">An engineer, a manager or an administrator can register it.</p>;
  return (
    <p className="registry-tools">
      {unitKnown ? (
        <Link className="button" to="/registry/$site/units/$unit" params={{ site, unit }}>
          {retired ? 'It is retired: bring it back' : 'Add the missing circuit or module to its unit'}
        </Link>
      ) : siteKnown ? (
        <Link className="button" to="/registry/$site/new-unit" params={{ site }} search={{ heard: unit }}>
          Make a unit of {site}/{unit}
        </Link>
      ) : (
        <Link className="button" to="/registry" search={{ heard: `${site}/${unit}` }}>
          Make a site and a unit of {site}/{unit}
        </Link>
      )}
    </p>
  );
}
