import { useUnitEnergy, type CircuitEnergy, type UnitEnergy } from '../../api/decisions/energy.js';
import { Say } from '../../components/say.js';
import { useUnits } from '../../components/site.js';
import { useTimes } from '../../components/zone.js';
import { decimals } from '../../quantities/format-quantity.js';
import { cycleWords, givenAwayWords, savedWords } from './energy-words.js';

/** What a unit gives away in energy, how that follows from its cycle, and what visits have saved. */
export function EnergySection({ site, unit }: { site: string; unit: string }) {
  const energy = useUnitEnergy(site, unit);
  if (!energy) return null;
  return (
    <section id="energy" className="unit-section" aria-labelledby="energy-heading">
      <h2 id="energy-heading">Energy given away</h2>
      {energy.givenAway_J_week !== null && (
        <p>
          <strong>
            Waiting gives away {givenAwayWords(energy.givenAway_J_week, [energy.givenAwayCost_week])}.
          </strong>
          {energy.givenAwayCost_week === null && ' The registry has no energy price for this site.'}
        </p>
      )}
      {energy.circuits.map((circuit) => (
        <Circuit key={circuit.circuit} circuit={circuit} />
      ))}
      <Saved saved={energy.saved} />
    </section>
  );
}

function Circuit({ circuit }: { circuit: CircuitEnergy }) {
  const units = useUnits();
  const { power_W, running_h_week, assumptions, missing } = circuit;
  return (
    <div>
      <p>
        <strong>Circuit {circuit.circuit}.</strong> {cycleWords(circuit, units).join(' ')}{' '}
        {missing !== null && <Say statement={missing} />}
      </p>
      {assumptions.length > 0 && (
        <details>
          <summary>How this is worked out</summary>
          <p>
            From the circuit’s own cycle with the properties of its refrigerant, on {circuit.plateaus}{' '}
            stretches of steady running in the last week
            {power_W !== null && `, at ${decimals(power_W.value / 1000, 1)} kW of the compressors`} and{' '}
            {decimals(running_h_week, 0)} h of running a week.
          </p>
          <ul>
            {assumptions.map((assumption, index) => (
              <li key={index}>
                <Say statement={assumption} />
              </li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}

function Saved({ saved }: { saved: UnitEnergy['saved'] }) {
  const { day } = useTimes();
  if (saved.length === 0) return null;
  return (
    <>
      <h3>Since it was put right</h3>
      <ul>
        {saved.map((entry) => (
          <li key={entry.finding}>
            Visit of {day(Date.parse(entry.since) / 1000)}: {savedWords(entry.energy_J, [entry.cost])}{' '}
            <span className="quiet">
              Measured until {day(Date.parse(entry.until) / 1000)} against what the circuit did before.
            </span>
          </li>
        ))}
      </ul>
    </>
  );
}
