import type { CircuitDetail, UnitDetail } from '../../api/types.js';
import { useTimes } from '../../components/zone.js';
import { usePreferences } from '../../app/preferences.js';
import { formatQuantity, show } from '../../quantities/format-quantity.js';
import type { UnitSystem } from '../../quantities/unit-system.js';

type Latest = NonNullable<CircuitDetail['latest']>;

const withUncertainty = (value: number | null, uncertainty: number | null, system: UnitSystem) =>
  value === null
    ? '–'
    : formatQuantity(
        { kind: 'temperature-difference', value, uncertainty: uncertainty ?? undefined },
        system,
      );

type SetAside = CircuitDetail['setAside'];
/** A value behind which a measurement was found wrong is shown, and marked. */
const marked = (wrong: boolean, words: string) => (wrong ? `${words} (not reliable)` : words);

const rows: [string, (latest: Latest, system: UnitSystem, aside: SetAside) => string][] = [
  [
    'Superheat',
    (latest, system, aside) =>
      marked(
        aside.superheatLevel,
        withUncertainty(latest.superheat_K, latest.superheatUncertainty_K, system),
      ),
  ],
  ['Setpoint', (latest, system) => show(latest.superheatSetpoint_K, 'temperature-difference', system)],
  ['Valve opening', (latest, system) => show(latest.valveOpening_pct, 'percent-opening', system)],
  ['Compressor load', (latest, system) => show(latest.compressorLoad_pct, 'percent-opening', system)],
  ['Suction pressure', (latest, system) => show(latest.suctionPressure_Pa, 'pressure', system)],
  [
    'Evaporating (dew)',
    (latest, system) => show(latest.suctionSaturationTemperature_K, 'temperature', system),
  ],
  ['Suction gas', (latest, system) => show(latest.suctionTemperature_K, 'temperature', system)],
  ['Discharge pressure', (latest, system) => show(latest.dischargePressure_Pa, 'pressure', system)],
  [
    'Condensing (dew)',
    (latest, system) => show(latest.dischargeSaturationTemperature_K, 'temperature', system),
  ],
  ['Discharge gas', (latest, system) => show(latest.dischargeTemperature_K, 'temperature', system)],
  [
    'Subcooling (bubble)',
    (latest, system, aside) =>
      marked(aside.subcooling, withUncertainty(latest.subcooling_K, latest.subcoolingUncertainty_K, system)),
  ],
];

export function NowSection({ detail }: { detail: UnitDetail }) {
  const { units } = usePreferences();
  const { instant } = useTimes();
  const circuits = detail.circuits.filter((circuit) => circuit.latest !== null);
  return (
    <section id="now" className="unit-section">
      <h2>Now</h2>
      {circuits.length === 0 ? (
        <p className="quiet">No circuit has sent a reading yet.</p>
      ) : (
        <div className="scroll-x">
          <table className="now">
            <thead>
              <tr>
                <td />
                {circuits.map((circuit) => (
                  <th key={circuit.number} scope="col" className="number">
                    Circuit {circuit.number}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              <tr>
                <th scope="row">State in the last window</th>
                {circuits.map((circuit) => (
                  <td key={circuit.number} className="number">
                    {circuit.latest!.state?.replace('-', ' ') ?? 'not judged yet'}
                  </td>
                ))}
              </tr>
              {rows.map(([words, value]) => (
                <tr key={words}>
                  <th scope="row">{words}</th>
                  {circuits.map((circuit) => (
                    <td key={circuit.number} className="number">
                      {value(circuit.latest!, units, circuit.setAside)}
                    </td>
                  ))}
                </tr>
              ))}
              <tr>
                <th scope="row">Time of reading</th>
                {circuits.map((circuit) => (
                  <td key={circuit.number} className="number">
                    {instant(circuit.latest!.time_s)}
                  </td>
                ))}
              </tr>
            </tbody>
          </table>
        </div>
      )}
      <p className="quiet small">
        ± is one standard uncertainty, from the tolerances of transducer and sensor.
        {circuits.some(({ setAside }) => setAside.superheatLevel || setAside.subcooling) &&
          ' Not reliable: a measurement behind this value was found wrong.'}
      </p>
    </section>
  );
}
