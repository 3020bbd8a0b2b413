import './registry.css';
import { useMutation } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { applyTable, previewTable, type TableOutcome } from '../../api/registry/registry.js';
import { count, decimals } from '../../quantities/format-quantity.js';
import { PageTitle } from '../../components/page-title.js';
import { FormError } from '../../components/form-error.js';
import { useAllAnew, useMay } from '../people/use-session.js';
import { BecauseFields, becauseOf, type BecauseValues } from './forms/because-fields.js';
import { PointSpreadsheet } from './sparkplug/point-spreadsheet.js';

/** The registry as a spreadsheet: out, and in again after it was looked through. */
export function TablePage() {
  const may = useMay('register');
  return (
    <>
      <PageTitle>Spreadsheet – Registry – Coldrounds</PageTitle>
      <p>
        <Link to="/registry">Registry</Link>
      </p>
      <h1>The registry as a spreadsheet</h1>
      <p className="registry-lead">
        A row for each circuit, with the figures of its unit and of the backup module that shuts its valve.
        What is left empty is not known. Read in again, it corrects what is registered and takes nothing away.
      </p>
      <p className="registry-tools">
        <a className="button" href="/api/registry/table.xlsx" download>
          Download as XLSX
        </a>
        <a className="button" href="/api/registry/table.csv" download>
          Download as CSV
        </a>
      </p>
      {may && <ReadIn />}
      <PointSpreadsheet />
    </>
  );
}

function ReadIn() {
  const [file, setFile] = useState<File | null>(null);
  const [mapping, setMapping] = useState<(string | null)[] | null>(null);
  const preview = useMutation({ mutationFn: ([of, as]: [File, typeof mapping]) => previewTable(of, as) });
  const look = (of: File, as: typeof mapping) => {
    setMapping(as);
    preview.mutate([of, as]);
  };
  return (
    <section className="registry-section">
      <h2>Read a spreadsheet in</h2>
      <div className="form">
        <label className="field">
          CSV or XLSX file
          <input
            type="file"
            accept=".csv,.xlsx,text/csv"
            onChange={({ target }) => {
              const [chosen] = target.files ?? [];
              setFile(chosen ?? null);
              if (chosen !== undefined) look(chosen, null);
            }}
          />
        </label>
      </div>
      {preview.isPending && (
        <p className="quiet" role="status">
          Looking through it…
        </p>
      )}
      <FormError why={preview.error?.message} />
      {preview.isSuccess && file !== null && (
        <>
          <Columns outcome={preview.data} choose={(as) => look(file, as)} />
          <Problems outcome={preview.data} />
          <Apply key={file.name + file.lastModified} file={file} mapping={mapping} outcome={preview.data} />
        </>
      )}
    </section>
  );
}

function Columns({
  outcome,
  choose,
}: {
  outcome: TableOutcome;
  choose: (mapping: (string | null)[]) => void;
}) {
  const now = outcome.columns.map(({ is }) => is);
  return (
    <div className="scroll-x">
      <table>
        <thead>
          <tr>
            <th scope="col">Column</th>
            <th scope="col">Is</th>
            <th scope="col">Its first cells</th>
          </tr>
        </thead>
        <tbody>
          {outcome.columns.map(({ head, is, examples }, place) => (
            <tr key={`${place} ${head}`}>
              <th scope="row">{head === '' ? `column ${place + 1}` : head}</th>
              <td>
                <select
                  aria-label={`What column ${head === '' ? place + 1 : head} is`}
                  value={is ?? ''}
                  onChange={({ target }) =>
                    choose(
                      now.map((other, at) =>
                        at === place ? target.value || null : other === target.value ? null : other,
                      ),
                    )
                  }
                >
                  <option value="">not used</option>
                  {outcome.fields.map(({ name, words }) => (
                    <option key={name} value={name}>
                      {words}
                    </option>
                  ))}
                </select>
              </td>
              <td className="quiet">{examples.filter((example) => example !== '').join(' · ')}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Problems({ outcome }: { outcome: TableOutcome }) {
  const place = ({ row, column }: TableOutcome['problems'][number]) =>
    row === 0
      ? ''
      : `Row ${row}${column === null ? '' : `, "${outcome.columns[column]?.head ?? column + 1}"`}: `;
  const list = (title: string, all: TableOutcome['problems'], total: number, refused: boolean) =>
    total > 0 && (
      <section className="registry-section">
        <h3>
          {decimals(total, 0)} {title}
        </h3>
        <ul className="table-problems">
          {all.map((problem, n) => (
            <li key={n} className={refused ? 'doubt refused' : 'doubt'}>
              {place(problem)}
              {problem.sentence}
            </li>
          ))}
        </ul>
        {total > all.length && <p className="quiet">The first {all.length} are shown.</p>}
      </section>
    );
  return (
    <>
      {list(
        outcome.problemCount === 1
          ? 'problem: nothing is written until it is put right'
          : 'problems: nothing is written until they are put right',
        outcome.problems,
        outcome.problemCount,
        true,
      )}
      {list('doubtful figures', outcome.doubts, outcome.doubtCount, false)}
    </>
  );
}

interface ApplyProps {
  file: File;
  mapping: (string | null)[] | null;
  outcome: TableOutcome;
}

function Apply({ file, mapping, outcome }: ApplyProps) {
  const [because, setBecause] = useState<BecauseValues>({ reason: '', since: 'always', day: '' });
  const [trouble, setTrouble] = useState<string | null>(null);
  const allAnew = useAllAnew();
  const applying = useMutation({
    mutationFn: (said: { reason: string; holdsFrom: string | null }) => applyTable(file, mapping, said),
    onSuccess: allAnew,
  });
  const { added, changed, same, sites } = outcome;
  if (applying.isSuccess)
    return (
      <p className="notice" role="status">
        Read in: {count(applying.data.added, 'unit')} added, {decimals(applying.data.changed, 0)} changed.{' '}
        <Link to="/registry">Look at the registry</Link>
      </p>
    );
  return (
    <form
      className="form registry-form"
      onSubmit={(event) => {
        event.preventDefault();
        const said = becauseOf(because, null);
        if (typeof said === 'string') return setTrouble(said);
        setTrouble(null);
        applying.mutate(said);
      }}
    >
      <p>
        It adds {count(added, 'unit')}
        {sites > 0 && ` and ${count(sites, 'site')}`}, changes {decimals(changed, 0)} and says nothing new of{' '}
        {decimals(same, 0)}.
      </p>
      <BecauseFields values={because} change={(some) => setBecause((old) => ({ ...old, ...some }))} />
      <FormError why={trouble ?? applying.error?.message} />
      <button type="submit" className="button" disabled={outcome.problemCount > 0 || applying.isPending}>
        {applying.isPending ? 'Reading it in…' : 'Read it in'}
      </button>
    </form>
  );
}
