import './decisions.css';
import { useQuery } from '@tanstack/react-query';
import { accuracyQuery, type Accuracy } from '../../api/decisions/decisions.js';
import { PageTitle } from '../../components/page-title.js';
import { ScrollX } from '../../components/scroll-x.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { certaintyNames, fractionWords, rightWords } from './accuracy-words.js';

/** How often what was said before a visit was what the visit found. */
export function AccuracyPage() {
  const accuracy = useQuery(accuracyQuery);
  return (
    <>
      <PageTitle>How often it was right – Coldrounds</PageTitle>
      <h1>How often it was right</h1>
      <p className="accuracy-lead">
        Each visit that closed a finding said what it found. Here that is compared with the cause that was
        said to be likeliest before it.
      </p>
      {accuracy.isPending ? (
        <Loading what="the visits" />
      ) : accuracy.isError ? (
        <Failed what="the visits" error={accuracy.error} retry={() => void accuracy.refetch()} />
      ) : (
        <Counted accuracy={accuracy.data} />
      )}
    </>
  );
}

function Counted({ accuracy }: { accuracy: Accuracy }) {
  const { all, causes, withoutCause } = accuracy;
  if (all.visits === 0)
    return (
      <TooLittle>
        No visit has been closed yet on a finding for which a cause was said. Close findings on the unit’s
        page after a visit, and they are counted here.
      </TooLittle>
    );
  return (
    <>
      <p>
        <strong>{rightWords(all)}.</strong> {fractionWords(all)}
        {withoutCause > 0 && ` ${withoutCause} more visits closed findings for which no cause was said.`}
      </p>
      <ScrollX label="Visits by cause">
        <table>
          <thead>
            <tr>
              <th scope="col">Cause that was said</th>
              <th scope="col">How sure</th>
              <th scope="col" className="number">
                Visits
              </th>
              <th scope="col" className="number">
                Confirmed
              </th>
              <th scope="col" className="number">
                Other cause
              </th>
              <th scope="col" className="number">
                Nothing found
              </th>
              <th scope="col">Right, 95 % interval</th>
            </tr>
          </thead>
          <tbody>
            {causes.map((row) => (
              <tr key={`${row.cause} ${row.certainty}`}>
                <th scope="row">{row.name}</th>
                <td>{certaintyNames[row.certainty]}</td>
                <td className="number">{row.visits}</td>
                <td className="number">{row.confirmed}</td>
                <td className="number">{row.otherCause}</td>
                <td className="number">{row.nothingFound}</td>
                <td>{fractionWords(row)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollX>
    </>
  );
}
