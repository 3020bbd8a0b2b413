import { useQuery } from '@tanstack/react-query';
import { useCallback } from 'react';
import { cycleQuery, type CircuitPath } from '../../../api/queries.js';
import { useUnits } from '../../../components/site.js';
import { cycleOption } from '../../../charts/cycle.js';
import { Chart, type Drawing } from '../../../components/chart/chart.js';
import { Say } from '../../../components/say.js';
import { useTimes } from '../../../components/zone.js';
import { Failed, Loading, TooLittle } from '../../../components/states.js';
import { show } from '../../../quantities/format-quantity.js';
import { CircuitChoice, type Choice } from '../parts/circuit-choice.js';

export function CycleSection({
  path,
  refrigerant,
  choice,
}: {
  path: CircuitPath;
  refrigerant: string;
  choice: Choice;
}) {
  const units = useUnits();
  const { instant } = useTimes();
  const cycle = useQuery(cycleQuery(path));
  const draw = useCallback(
    ({ theme, system }: Drawing) => cycleOption(cycle.data!, theme, system),
    [cycle.data],
  );
  return (
    <section id="cycle" className="unit-section">
      <h2>The cycle now</h2>
      <CircuitChoice {...choice} />
      {cycle.isPending ? (
        <Loading what="the cycle" />
      ) : cycle.isError ? (
        <Failed what="the cycle" error={cycle.error} retry={() => void cycle.refetch()} />
      ) : (
        <>
          {cycle.data.points.length === 0 && (
            <TooLittle>
              The readings do not allow a cycle to be drawn; only the saturation dome is shown.
            </TooLittle>
          )}
          <Chart
            draw={draw}
            height={400}
            label={`Pressure over enthalpy of ${refrigerant} with the cycle of circuit ${path.circuit}`}
            caption={`${
              cycle.data.at_s === null ? '' : `From the reading of ${instant(cycle.data.at_s)}. `
            }Enthalpy counts from saturated vapour at ${show(273.15, 'temperature', units)}. Dome of ${refrigerant} from its property table; dashed where the table ends, below the critical point.`}
          />
          {cycle.data.points.length > 0 && (
            <ol className="cycle-states small" aria-label="States of the cycle">
              {cycle.data.points.map((point, index) => (
                <li key={point.name}>
                  <b>{index + 1}</b> {point.label}: {show(point.pressure_Pa, 'pressure', units)},{' '}
                  {show(point.temperature_K, 'temperature', units)}
                </li>
              ))}
            </ol>
          )}
          <ul className="bullets small quiet">
            {cycle.data.sentences.map((sentence, index) => (
              <li key={index}>
                <Say statement={sentence} />
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}
