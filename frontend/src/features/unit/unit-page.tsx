import './unit.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useParams } from '@tanstack/react-router';
import { useEffect, useMemo, useRef, useState } from 'react';
import type { UnitDetail } from '../../api/types.js';
import { unitQuery } from '../../api/queries.js';
import { Cautions, hazardsOf } from '../../components/cautions.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { ZoneProvider } from '../../components/zone.js';
import { BackupSection } from './backup-section.js';
import { CycleSection } from './cycle-section.js';
import { FindingSheet } from './finding-sheet.js';
import { HistorySection } from './history-section.js';
import { NowSection } from './now-section.js';
import { PowerLossSection } from './power-loss-section.js';
import { RegistrySection } from './registry-section.js';
import { SensorSection } from './sensor-section.js';
import { SteadinessSection } from './steadiness-section.js';
import { TimelineSection } from './time/timeline-section.js';
import { UnitHead } from './unit-head.js';
import { useSectionInView } from './use-section-in-view.js';

const contents = [
  ['wrong', 'What is wrong'],
  ['now', 'Now'],
  ['time', 'Over time'],
  ['steady', 'Steadiness'],
  ['cycle', 'Cycle'],
  ['backup', 'Backup'],
  ['losses', 'Power losses'],
  ['sensors', 'Sensors'],
  ['history', 'Earlier'],
  ['facts', 'Data'],
] as const;

/** One unit on one page, from top to bottom in the order in which a technician asks. */
export function UnitPage() {
  const path = useParams({ from: '/units/$site/$unit' });
  const unit = useQuery({ ...unitQuery(path), refetchInterval: 30_000 });
  if (unit.isPending) return <Loading what="the unit" />;
  if (unit.isError) return <Failed what="the unit" error={unit.error} retry={() => void unit.refetch()} />;
  return (
    <ZoneProvider value={unit.data.site.timeZone}>
      <UnitSheet key={`${path.site}/${path.unit}`} detail={unit.data} />
    </ZoneProvider>
  );
}

/** The circuit that the first finding is about, else the first one. */
function firstCircuit(detail: UnitDetail): number | null {
  for (const { subject } of detail.findings) if ('circuit' in subject) return subject.circuit;
  return detail.circuits[0]?.number ?? null;
}

const contentIds = contents.map(([id]) => id);

/** Stays in reach at the top of the window and marks where the reader is. */
function Contents() {
  const here = useSectionInView(contentIds);
  const list = useRef<HTMLUListElement>(null);
  useEffect(() => {
    const link = list.current?.querySelector<HTMLElement>('[aria-current]');
    // Only sideways, within the list: the page itself must not move.
    if (link && list.current) list.current.scrollTo({ left: link.offsetLeft - list.current.offsetLeft - 24 });
  }, [here]);
  return (
    <nav className="contents" aria-label="On this page">
      <ul ref={list}>
        {contents.map(([id, words]) => (
          <li key={id}>
            <a href={`#${id}`} aria-current={here === id ? 'location' : undefined}>
              {words}
            </a>
          </li>
        ))}
      </ul>
    </nav>
  );
}

function UnitSheet({ detail }: { detail: UnitDetail }) {
  const [chosen, setChosen] = useState(() => firstCircuit(detail));
  const circuit = detail.circuits.find((entry) => entry.number === chosen) ?? detail.circuits[0];
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
      <Contents />

      <section id="wrong" className="unit-section">
        <h2>What is wrong</h2>
        {detail.findings.length === 0 ? (
          <TooLittle>
            {detail.circuits.some((entry) => entry.assessment) ||
            detail.modules.some((entry) => entry.assessment)
              ? 'Nothing found on this unit. What was checked is shown below.'
              : 'Not assessed yet: not enough telemetry has come in.'}
          </TooLittle>
        ) : (
          <div className="wrong-columns">
            <div>
              {detail.findings.map((finding, index) => (
                <FindingSheet key={finding.id} finding={finding} open={index === 0} />
              ))}
            </div>
            <div className="wrong-side">
              <Cautions
                hazards={hazardsOf({
                  findings: detail.findings,
                  safetyClass: detail.unit.safetyClass,
                  modules: detail.modules.length,
                })}
              />
              <p className="small">
                <Link to="/units/$site/$unit/brief" params={path}>
                  The visit brief
                </Link>{' '}
                prints this on one side of A4.
              </p>
            </div>
          </div>
        )}
      </section>

      <NowSection detail={detail} />
      {circuit ? (
        <>
          <TimelineSection path={path} detail={detail} choice={choice} />
          <SteadinessSection path={path} circuit={circuit} choice={choice} />
          <CycleSection path={path} refrigerant={detail.unit.refrigerant} choice={choice} />
        </>
      ) : (
        <TooLittle>The registry lists no circuit for this unit.</TooLittle>
      )}
      <BackupSection detail={detail} />
      <PowerLossSection site={path.site} unit={path.unit} />
      <SensorSection detail={detail} />
      <HistorySection site={path.site} unit={path.unit} />
      <RegistrySection detail={detail} />
    </>
  );
}
