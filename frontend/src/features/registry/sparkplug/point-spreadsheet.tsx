import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { applyPoints, previewPoints, type PointTableOutcome } from '../../../api/registry/sparkplug.js';
import { FormError } from '../../../components/form-error.js';
import { count, decimals } from '../../../quantities/format-quantity.js';
import { Field } from '../../people/field.js';
import { useAllAnew, useMay } from '../../people/use-session.js';

/** The metrics of all units as a spreadsheet: out, and in again after it was looked through. */
export function PointSpreadsheet() {
  const may = useMay('register');
  const [file, setFile] = useState<File | null>(null);
  const preview = useMutation({ mutationFn: previewPoints });
  return (
    <section className="registry-section">
      <h2>Metrics of Sparkplug B</h2>
      <p className="registry-lead">
        A row for each metric, with the quantity that it is. Read in again, the rows of a unit are all of its
        metrics; units that have no row stay as they are.
      </p>
      <p className="registry-tools">
        <a className="button" href="/api/registry/sparkplug.xlsx" download>
          Download metrics as XLSX
        </a>
        <a className="button" href="/api/registry/sparkplug.csv" download>
          Download metrics as CSV
        </a>
      </p>
      {may && (
        <div className="form">
          <label className="field">
            CSV or XLSX file of metrics
            <input
              type="file"
              accept=".csv,.xlsx,text/csv"
              onChange={({ target }) => {
                const [chosen] = target.files ?? [];
                setFile(chosen ?? null);
                if (chosen !== undefined) preview.mutate(chosen);
              }}
            />
          </label>
        </div>
      )}
      <FormError why={preview.error?.message} />
      {preview.isSuccess && file !== null && (
        <Apply key={file.name + file.lastModified} file={file} outcome={preview.data} />
      )}
    </section>
  );
}

function Apply({ file, outcome }: { file: File; outcome: PointTableOutcome }) {
  const [reason, setReason] = useState('');
  const allAnew = useAllAnew();
  const applying = useMutation({
    mutationFn: () => applyPoints(file, reason.trim()),
    onSuccess: allAnew,
  });
  const { problems, problemCount, rows, units, changed } = outcome;
  if (applying.isSuccess)
    return (
      <p className="notice" role="status">
        Read in: {count(applying.data.changed, 'unit')} changed.
      </p>
    );
  return (
    <form
      className="form registry-form"
      onSubmit={(event) => {
        event.preventDefault();
        applying.mutate();
      }}
    >
      <p>
        {count(rows, 'row')} of {count(units, 'unit')}; it changes {decimals(changed, 0)}.
      </p>
      {problemCount > 0 && (
        <>
          <h3>
            {count(problemCount, 'problem')}: nothing is written until{' '}
            {problemCount === 1 ? 'it is' : 'they are'} put right
          </h3>
          <ul className="table-problems">
            {problems.map(({ row, sentence }, n) => (
              <li key={n} className="doubt refused">
                {row > 0 && `Row ${row}: `}
                {sentence}
              </li>
            ))}
          </ul>
        </>
      )}
      <Field label="Reason" value={reason} onChange={setReason} />
      <FormError why={applying.error?.message} />
      <button
        type="submit"
        className="button"
        disabled={problemCount > 0 || reason.trim() === '' || applying.isPending}
      >
        {applying.isPending ? 'Reading it in…' : 'Read the metrics in'}
      </button>
    </form>
  );
}
