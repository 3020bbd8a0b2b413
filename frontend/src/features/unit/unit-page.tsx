import './unit.css';
import { useQuery } from '@tanstack/react-query';
import { useParams } from '@tanstack/react-router';
import { lazy, useMemo, useState } from 'react';
import type { UnitDetail } from '../../api/types.js';
import { evidenceQuery, unitQuery } from '../../api/queries.js';
import { problemsOf } from '../../components/problem/problems.js';
import { SiteProvider } from '../../components/site.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { DecisionSection } from '../decisions/decision-section.js';
import { EnergySection } from '../energy/energy-section.js';
import { Answer } from './answer/answer.js';
import { UnitHead } from './answer/unit-head.js';
import { HistorySection } from './facts/history-section.js';
import { NotJudgedSection } from './facts/not-judged-section.js';
import { RegistrySection } from './facts/registry-section.js';
import { SensorSection } from './facts/sensor-section.js';
import { Contents } from './parts/contents.js';
import { Folded } from './parts/folded.js';
import { Reached } from './parts/reached.js';
import { shownBy } from './time/shown-by.js';

// Sections further down, and the charts in them, come once the reader gets near them.
const TimelineSection = lazy(async () => ({
  default: (await import('./time/timeline-section.js')).TimelineSection,
}));
const SteadinessSection = lazy(async () => ({
  default: (await import('./steadiness/steadiness-section.js')).SteadinessSection,
}));
const CycleSection = lazy(async () => ({
  default: (await import('./facts/cycle-section.js')).CycleSection,
}));
const BackupSection = lazy(async () => ({
  default: (await import('./backup/backup-section.js')).BackupSection,
}));
const PowerLossSection = lazy(async () => ({
  default: (await import('./backup/power-loss-section.js')).PowerLossSection,
}));

/** One unit on one page, from top to bottom in the order in which a technician asks. */
export function UnitPage() {
  const path = useParams({ from: '/units/$site/$unit' });
  const unit = useQuery({ ...unitQuery(path), refetchInterval: 30_000 });
  if (unit.isPending)
    return (
      <>
        <h1 className="hidden-visually">
          Unit {path.unit} of {path.site}
        </h1>
        <Loading what="the unit" />
      </>
    );
  if (unit.isError) return <Failed what="the unit" error={unit.error} retry={() => void unit.refetch()} />;
  return (
    <SiteProvider site={unit.data.site}>
      <UnitSheet key={`${path.site}/${path.unit}`} detail={unit.data} />
    </SiteProvider>
  );
}

/** The circuit that the first problem is about, else the first one. */
function firstCircuit(detail: UnitDetail): number | null {
  for (const { subject } of problemsOf(detail).flatMap(({ subject: of, lead }) => [
    { subject: of },
    ...(lead === null ? [] : [lead]),
  ]))
    if ('circuit' in subject) return subject.circuit;
  return detail.circuits[0]?.number ?? null;
}

/**
 * The stretch of time that shows the first problem; null where there is none. Undefined only until the first is fetched:
 * when another problem takes its place, the chart that is being read must stay.
 */
function useShownBy(detail: UnitDetail) {
  const first = problemsOf(detail)[0]?.lead?.id;
  const { data, isError } = useQuery({ ...evidenceQuery(first ?? ''), enabled: first !== undefined });
  const span = useMemo(() => (data ? shownBy(data.data) : null), [data]);
  const known = first === undefined || isError || data !== undefined;
  const [kept, keep] = useState<typeof span>();
  if (known && kept !== span) keep(span);
  return known ? span : kept;
}

function UnitSheet({ detail }: { detail: UnitDetail }) {
  const [chosen, setChosen] = useState(() => firstCircuit(detail));
  const circuit = detail.circuits.find((entry) => entry.number === chosen) ?? detail.circuits[0];
  const span = useShownBy(detail);
  const path = useMemo(
    () => ({ site: detail.site.key, unit: detail.unit.key, circuit: circuit?.number ?? 0 }),
    [detail.site.key, detail.unit.key, circuit?.number],
  );
  const choice = {
    circuits: detail.circuits.map((entry) => entry.number),
    chosen: path.circuit,
    choose: setChosen,
  };
  return (
    <>
      <UnitHead detail={detail} />
      <Answer detail={detail} />
      <DecisionSection detail={detail} />
      <EnergySection site={path.site} unit={path.unit} />
      <Contents />
      {circuit ? (
        <>
          <Reached id="time" heading="Over time">
            {() =>
              span === undefined ? (
                <Loading what="the time that shows the finding" />
              ) : (
                <TimelineSection path={path} detail={detail} choice={choice} start={span} />
              )
            }
          </Reached>
          <Folded
            id="steady"
            heading="How steadily superheat is held"
            about="The day, the week and four weeks in figures, each window of two hours, the steady floor."
          >
            {() => (
              <SteadinessSection
                path={path}
                circuit={circuit}
                choice={choice}
                shows_s={span && path.circuit === firstCircuit(detail) ? span.from_s : null}
              />
            )}
          </Folded>
          <Folded
            id="cycle"
            heading="The cycle now"
            about="The newest reading in the pressure-enthalpy diagram of its refrigerant."
          >
            {() => <CycleSection path={path} refrigerant={detail.unit.refrigerant} choice={choice} />}
          </Folded>
        </>
      ) : (
        <TooLittle>The registry lists no circuit for this unit.</TooLittle>
      )}
      <Folded
        id="backup"
        heading="Will the valve shut when power fails?"
        about="Closing reserve, ageing and closings of each backup module."
      >
        {() => <BackupSection detail={detail} />}
      </Folded>
      <Folded id="losses" heading="Power losses" about="Losses of mains, and what followed them.">
        {() => <PowerLossSection site={path.site} unit={path.unit} />}
      </Folded>
      <SensorSection detail={detail} />
      <Folded id="history" heading="Earlier findings" about="What was found before and has ended.">
        {() => <HistorySection site={path.site} unit={path.unit} />}
      </Folded>
      <NotJudgedSection detail={detail} />
      <Folded id="facts" heading="Data from the registry" about="What is installed, as it is registered.">
        {() => <RegistrySection detail={detail} />}
      </Folded>
    </>
  );
}
