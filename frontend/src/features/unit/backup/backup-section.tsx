import { useQuery } from '@tanstack/react-query';
import { useCallback, useMemo, useState } from 'react';
import type { ModuleAssessment, ModuleOverview, ReserveCase, UnitDetail } from '../../../api/types.js';
import { closingQuery, links, moduleQuery, type ModulePath } from '../../../api/queries.js';
import { useUnits } from '../../../components/site.js';
import { closingOption, reserveOption } from '../../../charts/backup.js';
import { Chart, type Drawing } from '../../../components/chart/chart.js';
import { Say } from '../../../components/say.js';
import { useTimes, useZone } from '../../../components/zone.js';
import { Failed, Loading, TooLittle } from '../../../components/states.js';
import { decimals, formatQuantity, show } from '../../../quantities/format-quantity.js';
import { ModulePlaceLine } from '../facts/place-line.js';
import { currentWords, moduleSentences } from './module-sentences.js';

export function BackupSection({ detail }: { detail: UnitDetail }) {
  return (
    <section id="backup" className="unit-section">
      <h2>Will the valve shut when power fails?</h2>
      {detail.modules.length === 0 ? (
        <p className="quiet">This unit has no backup module in the registry.</p>
      ) : (
        detail.modules.map((module) => (
          <Module
            key={module.number}
            path={{ site: detail.site.key, unit: detail.unit.key, module: module.number }}
            module={module}
          />
        ))
      )}
    </section>
  );
}

const situationWords = {
  'fully-open-coldest': 'from fully open, at the lowest temperature seen',
  'fully-open-now': 'from fully open, at the present temperature',
  'present-opening': 'from the present opening',
};

function Module({ path, module }: { path: ModulePath; module: ModuleOverview }) {
  const units = useUnits();
  const { instant } = useTimes();
  const full = useQuery(moduleQuery(path));
  const assessment = full.data?.module.assessment ?? module.assessment;
  return (
    <article className="module">
      <h3>
        Backup module {module.number}
        <span className="quiet"> for circuit {module.entry.circuits.join(' and ')}</span>
      </h3>
      {module.latest && (
        <p className="small quiet">
          {instant(module.latest.time_s)}: {show(module.latest.voltage_V, 'voltage', units)},{' '}
          {currentWords(module.latest.current_A, units)},{' '}
          {show(module.latest.temperature_K, 'temperature', units)}; mains{' '}
          {word(module.latest.mains, 'present', 'lost')}, health contact{' '}
          {word(module.latest.health, 'good', 'signals a fault')}.
        </p>
      )}
      {assessment ? (
        <Assessed assessment={assessment} />
      ) : (
        <TooLittle>Not assessed yet: no closing has been seen.</TooLittle>
      )}
      <ModulePlaceLine path={path} />
      {full.isError && <Failed what="the closings" error={full.error} retry={() => void full.refetch()} />}
      {full.isPending && <Loading what="the closings" />}
      {full.data && (
        <Closings
          path={path}
          closings={full.data.closings}
          minimumVoltage_V={module.entry.minimumVoltage_V}
        />
      )}
    </article>
  );
}

/** To two decimals, and from ten on to one: there the second is never known. */
const reserveNumber = (reserve: number) => decimals(reserve, reserve >= 10 ? 1 : 2);

/** The trend for people who cannot see it. */
function reserveWords({ reserveHistory }: ModuleAssessment): string {
  const [first, last] = [reserveHistory[0], reserveHistory.at(-1)];
  return `Closing reserve at each of ${reserveHistory.length} closings, with its limits 1.5 and 1.0 and the forecast: from ${decimals(first?.reserve ?? NaN, 2)} to ${decimals(last?.reserve ?? NaN, 2)}`;
}

const word = (value: boolean | null, yes: string, no: string) =>
  value === null ? 'not known' : value ? yes : no;

function Assessed({ assessment }: { assessment: ModuleAssessment }) {
  const units = useUnits();
  const zone = useZone();
  const { reserve, forecast, reserveHistory } = assessment;
  const draw = useCallback(
    ({ theme }: Drawing) =>
      reserveOption(
        { history: reserveHistory, forecast: forecast.state === 'forecast' ? forecast : null },
        theme,
      ),
    [reserveHistory, forecast],
  );
  return (
    <>
      {reserve.state === 'unknown' ? (
        <TooLittle>
          <Say statement={reserve.reason} />
        </TooLittle>
      ) : (
        <ReserveCases cases={reserve.cases} />
      )}
      <ul className="bullets">
        {reserve.state === 'known' &&
          reserve.basedOn.map((sentence, index) => (
            <li key={`stands${index}`}>
              <Say statement={sentence} />
            </li>
          ))}
        {moduleSentences(assessment, units, zone).map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
        {assessment.proof.state === 'unproven' && (
          <li>
            <strong>Unproven.</strong> <Say statement={assessment.proof.sentence} />
          </li>
        )}
        {forecast.state === 'refused' && (
          <li>
            <Say statement={forecast.sentence} />
          </li>
        )}
        {forecast.state === 'forecast' &&
          forecast.basedOn.map((sentence, index) => (
            <li key={`forecast${index}`}>
              <Say statement={sentence} />
            </li>
          ))}
      </ul>
      {reserveHistory.length > 1 ? (
        <Chart
          draw={draw}
          height={330}
          label={reserveWords(assessment)}
          caption="One point per self-test or power loss, for a closing from fully open at the lowest temperature seen. Diamond: the valve was seen to shut."
        />
      ) : (
        <TooLittle>Too few closings to draw a trend.</TooLittle>
      )}
      <NewAndNow assessment={assessment} />
    </>
  );
}

function ReserveCases({ cases }: { cases: readonly ReserveCase[] }) {
  const units = useUnits();
  return (
    <ul className="reserve-cases">
      {cases.map((entry) => (
        <li key={entry.situation}>
          <span className="reserve-number">{reserveNumber(entry.reserve)}</span>
          <span>
            closing reserve {situationWords[entry.situation]}{' '}
            <span className="quiet">
              ({reserveNumber(entry.interval.p10)} to {reserveNumber(entry.interval.p90)}, 10th to 90th
              percentile): {show(entry.usableEnergy_J, 'energy', units)} usable,{' '}
              {show(entry.closingEnergy_J, 'energy', units)} needed
            </span>
          </span>
        </li>
      ))}
    </ul>
  );
}

/** Capacitance and ESR as they are beside what they were when new. */
function NewAndNow({ assessment: { capacitance_F, esr_Ohm, baseline } }: { assessment: ModuleAssessment }) {
  const units = useUnits();
  if (capacitance_F === null) return null;
  return (
    <p className="small quiet">
      At {show(298.15, 'temperature', units)} and its usual current:{' '}
      {formatQuantity({ kind: 'capacitance', value: capacitance_F }, units)} and{' '}
      {show(esr_Ohm, 'resistance', units, 'ESR not measured')}; new{' '}
      {baseline.from === 'own' ? '(from its own first tests)' : '(as rated)'}{' '}
      {show(baseline.capacitance_F, 'capacitance', units)} and {show(baseline.esr_Ohm, 'resistance', units)}.
    </p>
  );
}

interface ClosingsProps {
  path: ModulePath;
  closings: { startedAt_s: number; kind: 'self-test' | 'power-loss'; shut: boolean | null }[];
  minimumVoltage_V: number;
}

function Closings({ path, closings, minimumVoltage_V }: ClosingsProps) {
  const { instant } = useTimes();
  const newest = useMemo(() => [...closings].sort((a, b) => b.startedAt_s - a.startedAt_s), [closings]);
  const [picked, setPicked] = useState<number | null>(null);
  const chosen = picked ?? newest[0]?.startedAt_s ?? null;
  if (chosen === null) return null;
  return (
    <>
      <h4>One closing</h4>
      <p className="controls small">
        <label>
          Closing of{' '}
          <select value={chosen} onChange={(event) => setPicked(Number(event.target.value))}>
            {newest.map((closing) => (
              <option key={closing.startedAt_s} value={closing.startedAt_s}>
                {instant(closing.startedAt_s)}, {closing.kind.replace('-', ' ')},{' '}
                {closing.shut === null ? 'not known whether it shut' : closing.shut ? 'shut' : 'did not shut'}
              </option>
            ))}
          </select>
        </label>
        <a href={links.closingsCsv(path)} download>
          All closings as CSV
        </a>
      </p>
      <ClosingPicture path={path} startedAt_s={chosen} minimumVoltage_V={minimumVoltage_V} />
    </>
  );
}

function ClosingPicture({
  path,
  startedAt_s,
  minimumVoltage_V,
}: {
  path: ModulePath;
  startedAt_s: number;
  minimumVoltage_V: number;
}) {
  const units = useUnits();
  const { day } = useTimes();
  const closing = useQuery(closingQuery(path, startedAt_s));
  const draw = useCallback(
    ({ theme }: Drawing) =>
      closingOption({ curve: closing.data!.curve, fit: closing.data!.fit, minimumVoltage_V }, theme),
    [closing.data, minimumVoltage_V],
  );
  if (closing.isPending) return <Loading what="the closing" />;
  if (closing.isError)
    return <Failed what="the closing" error={closing.error} retry={() => void closing.refetch()} />;
  const { judgement } = closing.data;
  const estimate = (kind: string, value: number | null, uncertainty: number | null) =>
    value === null
      ? 'not estimated'
      : formatQuantity({ kind, value, uncertainty: uncertainty ?? undefined }, units);
  return (
    <>
      <p className="measure">
        {day(judgement.startedAt_s)}: capacitance{' '}
        {estimate('capacitance', judgement.capacitance_F, judgement.capacitanceUncertainty_F)}
        {judgement.capacitanceMethod &&
          (judgement.capacitanceMethod === 'iec-window' ? ' (window after IEC 62391-1)' : ' (least squares)')}
        , ESR {estimate('resistance', judgement.esr_Ohm, judgement.esrUncertainty_Ohm)}, energy used{' '}
        {show(judgement.energyUsed_J, 'energy', units)} of an expected{' '}
        {show(judgement.energyExpected_J, 'energy', units)},{' '}
        {judgement.timeToShut_s === null
          ? 'not seen to shut'
          : `shut after ${show(judgement.timeToShut_s, 'duration', units)}`}
        .
      </p>
      <ul className="bullets small quiet">
        {judgement.limits.map((sentence, index) => (
          <li key={index}>
            <Say statement={sentence} />
          </li>
        ))}
      </ul>
      <Chart
        draw={draw}
        height={380}
        label={`Voltage and valve opening during the closing of ${day(judgement.startedAt_s)}, with the fitted discharge: ${judgement.timeToShut_s === null ? 'not seen to shut' : `shut after ${show(judgement.timeToShut_s, 'duration', units)}`}`}
      />
    </>
  );
}
