import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { missingTelemetryQuery } from '../../api/queries.js';
import type { MissingTelemetry } from '../../api/types.js';
import { ScrollX } from '../../components/scroll-x.js';
import { Failed, Loading } from '../../components/states.js';
import { decimals, formatInstant } from '../../quantities/format-quantity.js';
import { missingWords } from './missing-words.js';

/** Telemetry that did not come, though its gateway says by its interval that it should have. */
export function MissingTelemetrySection() {
  const missing = useQuery(missingTelemetryQuery);
  return (
    <section className="missing">
      <h2>Telemetry that did not come</h2>
      {missing.isPending ? (
        <Loading what="what is missing" />
      ) : missing.isError ? (
        <Failed what="what is missing" error={missing.error} retry={() => void missing.refetch()} />
      ) : (
        <Missing missing={missing.data} />
      )}
    </section>
  );
}

function Missing({ missing }: { missing: MissingTelemetry }) {
  const sentences = missingWords(missing);
  if (sentences.length === 0)
    return (
      <p className="quiet">
        No sample of the last 24 hours is missing, as far as the interval of each gateway tells, and no broker
        has reported a dropped message.
      </p>
    );
  return (
    <>
      {sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {missing.worst.length > 0 && <WorstUnits units={missing.worst} />}
    </>
  );
}

function WorstUnits({ units }: { units: MissingTelemetry['worst'] }) {
  return (
    <ScrollX label="Units of which samples are missing">
      <table>
        <thead>
          <tr>
            <th scope="col">Unit</th>
            <th scope="col">Missing in 24 h</th>
            <th scope="col">Hour with most missing</th>
            <th scope="col">Came</th>
            <th scope="col">Expected</th>
          </tr>
        </thead>
        <tbody>
          {units.map(({ site, unit, missing, hours }) => {
            const worst = hours.reduce((a, b) => (b.expected - b.received > a.expected - a.received ? b : a));
            return (
              <tr key={`${site}/${unit}`}>
                <th scope="row">
                  <Link to="/units/$site/$unit" params={{ site, unit }}>
                    {site}/{unit}
                  </Link>
                </th>
                <td>{decimals(missing, 0)}</td>
                <td>{formatInstant(Date.parse(worst.from) / 1000)}</td>
                <td>{decimals(worst.received, 0)}</td>
                <td>{decimals(worst.expected, 0)}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </ScrollX>
  );
}
