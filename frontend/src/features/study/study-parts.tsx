import type { UseQueryResult } from '@tanstack/react-query';
import type { ReactNode } from 'react';
import { Failed, Loading, TooLittle } from '../../components/states.js';

/** One of a few, in a line of tools. */
export function Choice<Value extends string | number>({
  words,
  value,
  among,
  choose,
}: {
  words: string;
  value: Value;
  among: readonly (readonly [Value, string, ...unknown[]])[];
  choose: (value: Value) => void;
}) {
  return (
    <label>
      {words}{' '}
      <select value={value} onChange={(event) => choose(among[event.target.selectedIndex]![0])}>
        {among.map(([each, label]) => (
          <option key={each} value={each}>
            {label}
          </option>
        ))}
      </select>
    </label>
  );
}

/** A study with its choices and its export; what it found is drawn once there is a cohort. */
export function StudySection<Study extends { cohorts: unknown[] }>({
  title,
  choices,
  csv,
  study,
  nothing,
  children,
}: {
  title: string;
  choices: ReactNode;
  csv: string;
  study: UseQueryResult<Study>;
  nothing: (study: Study) => string;
  children: (study: Study) => ReactNode;
}) {
  return (
    <section className="study-section">
      <h2>{title}</h2>
      <p className="study-tools">
        {choices}
        <a href={csv} download>
          CSV
        </a>
      </p>
      {study.isPending ? (
        <Loading what="the study" />
      ) : study.isError ? (
        <Failed what="the study" error={study.error} retry={() => void study.refetch()} />
      ) : study.data.cohorts.length === 0 ? (
        <TooLittle>{nothing(study.data)}</TooLittle>
      ) : (
        children(study.data)
      )}
    </section>
  );
}
