import { useQuery } from '@tanstack/react-query';
import { useCallback, useState } from 'react';
import type { PowerLoss } from '../../../api/types.js';
import { powerLossesQuery, powerLossQuery } from '../../../api/queries.js';
import { useUnits } from '../../../components/site.js';
import { replayHeight, replayOption } from '../../../charts/power-loss-replay.js';
import { Chart, type Drawing } from '../../../components/chart/chart.js';
import { Say } from '../../../components/say.js';
import { useTimes } from '../../../components/zone.js';
import { Failed, Loading } from '../../../components/states.js';
import { formatDuration, show } from '../../../quantities/format-quantity.js';
import type { UnitSystem } from '../../../quantities/unit-system.js';

export function PowerLossSection({ site, unit }: { site: string; unit: string }) {
  const losses = useQuery(powerLossesQuery({ site, unit }));
  const [open, setOpen] = useState<string | null>(null);
  return (
    <section id="losses" className="unit-section">
      <h2>Power losses</h2>
      {losses.isPending ? (
        <Loading what="the power losses" />
      ) : losses.isError ? (
        <Failed what="the power losses" error={losses.error} retry={() => void losses.refetch()} />
      ) : losses.data.powerLosses.length === 0 ? (
        <p className="quiet">No loss of mains has been seen on this unit.</p>
      ) : (
        <ul className="losses">
          {losses.data.powerLosses.map((loss) => {
            const key = `${loss.module}/${loss.from_s}`;
            return (
              <li key={key}>
                <LossRow loss={loss} open={open === key} toggle={() => setOpen(open === key ? null : key)} />
                {open === key && <Replay site={site} unit={unit} loss={loss} />}
              </li>
            );
          })}
        </ul>
      )}
    </section>
  );
}

/** How much refrigerant can have passed the valve, as a bound: nobody has seen it pass. */
export function passedWords(
  circuit: Pick<PowerLoss['circuits'][number], 'refrigerantPassedAtMost_kg' | 'wholeChargeCanHavePassed'>,
  units: UnitSystem,
): string {
  if (circuit.refrigerantPassedAtMost_kg === null) return 'an unknown mass of refrigerant';
  const mass = show(circuit.refrigerantPassedAtMost_kg, 'mass', units);
  if (circuit.wholeChargeCanHavePassed) return `up to the whole charge of refrigerant, ${mass},`;
  return `${mass.startsWith('under') ? mass : `at most ${mass}`} of refrigerant`;
}

function LossRow({ loss, open, toggle }: { loss: PowerLoss; open: boolean; toggle(): void }) {
  const units = useUnits();
  const { instant } = useTimes();
  return (
    <div className="loss">
      <p className="small quiet">
        {instant(loss.from_s)},{' '}
        {loss.duration_s === null
          ? 'return of mains not seen'
          : `mains lost for ${formatDuration(loss.duration_s)}`}
        , module {loss.module}
      </p>
      <p className="loss-verdict">
        <Say statement={loss.verdict} />
      </p>
      <p className="loss-caution">
        <Say statement={loss.caution} />
      </p>
      <p className="small">
        Opening {show(loss.openingBefore_pct, 'percent-opening', units, 'not known')} to{' '}
        {show(loss.openingAfter_pct, 'percent-opening', units, 'not known')}, module{' '}
        {show(loss.voltageBefore_V, 'voltage', units, 'not known')} to{' '}
        {show(loss.voltageAfter_V, 'voltage', units, 'not known')}, energy used{' '}
        {show(loss.energyUsed_J, 'energy', units, 'not known')}.
        {loss.circuits.map((circuit) => (
          <span key={circuit.circuit}>
            {' '}
            Circuit {circuit.circuit}: pressures{' '}
            {circuit.pressureMet_s === null
              ? 'were not seen to equalise'
              : `equalised after ${formatDuration(circuit.pressureMet_s)}`}
            ; {passedWords(circuit, units)} can have passed;{' '}
            {circuit.restartAt_s === null
              ? 'no restart seen'
              : `after the restart superheat fell to ${show(circuit.restartLeastSuperheat_K, 'temperature-difference', units)}, under the floodback limit for ${show(circuit.restartUnderFloodback_s, 'duration', units)} of the first ten minutes`}
            .
          </span>
        ))}
      </p>
      <button type="button" className="button small" aria-expanded={open} onClick={toggle}>
        {open ? 'Close the replay' : 'Replay'}
      </button>
    </div>
  );
}

function Replay({ site, unit, loss }: { site: string; unit: string; loss: PowerLoss }) {
  const units = useUnits();
  const { instant } = useTimes();
  const replay = useQuery(powerLossQuery({ site, unit }, loss.from_s));
  const draw = useCallback(
    ({ theme, system }: Drawing) =>
      replayOption(
        { circuits: replay.data!.circuits, backup: replay.data!.backup, loss: replay.data!.powerLoss },
        theme,
        system,
      ),
    [replay.data],
  );
  if (replay.isPending) return <Loading what="the replay" />;
  if (replay.isError)
    return <Failed what="the replay" error={replay.error} retry={() => void replay.refetch()} />;
  return (
    <Chart
      draw={draw}
      height={replayHeight}
      label={`Opening, pressures, superheat and module voltage around the power loss of ${instant(loss.from_s)}: opening ${show(loss.openingBefore_pct, 'percent-opening', units, 'not known')} to ${show(loss.openingAfter_pct, 'percent-opening', units, 'not known')}`}
      caption="Shaded: mains lost. From ten minutes before the loss to thirty minutes after mains returned."
    />
  );
}
