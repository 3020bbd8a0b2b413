import type { CircuitDetail, OperatingState, UnitDetail } from '../../../api/types.js';
import { useTimes } from '../../../components/zone.js';
import { useUnits } from '../../../components/site.js';
import { formatQuantity, show } from '../../../quantities/format-quantity.js';
import type { UnitSystem } from '../../../quantities/unit-system.js';

type Latest = NonNullable<CircuitDetail['latest']>;

const withUncertainty = (value: number | null, uncertainty: number | null, system: UnitSystem) =>
  value === null
    ? '–'
    : formatQuantity(
        { kind: 'temperature-difference', value, uncertainty: uncertainty ?? undefined },
        system,
      );

type WronglyMeasured = CircuitDetail['notReliable'];

interface Row {
  words: string;
  value: (latest: Latest, system: UnitSystem) => string;
  /** Whether a measurement behind the value was found wrong: it is shown all the same, and marked. */
  wrong?: (measured: WronglyMeasured) => boolean;
}

const ofKind =
  (kind: string, column: keyof Latest): Row['value'] =>
  (latest, system) =>
    show(latest[column] as number | null, kind, system);

const rows: Row[] = [
  {
    words: 'Superheat',
    value: (latest, system) => withUncertainty(latest.superheat_K, latest.superheatUncertainty_K, system),
    wrong: (measured) => measured.superheatLevel,
  },
  { words: 'Setpoint', value: ofKind('temperature-difference', 'superheatSetpoint_K') },
  { words: 'Valve opening', value: ofKind('percent-opening', 'valveOpening_pct') },
  { words: 'Compressor load', value: ofKind('percent-opening', 'compressorLoad_pct') },
  { words: 'Suction pressure', value: ofKind('pressure', 'suctionPressure_Pa') },
  { words: 'Evaporating (dew)', value: ofKind('temperature', 'suctionSaturationTemperature_K') },
  { words: 'Suction gas', value: ofKind('temperature', 'suctionTemperature_K') },
  { words: 'Discharge pressure', value: ofKind('pressure', 'dischargePressure_Pa') },
  { words: 'Condensing (dew)', value: ofKind('temperature', 'dischargeSaturationTemperature_K') },
  { words: 'Discharge gas', value: ofKind('temperature', 'dischargeTemperature_K') },
  {
    words: 'Subcooling (bubble)',
    value: (latest, system) => withUncertainty(latest.subcooling_K, latest.subcoolingUncertainty_K, system),
    wrong: (measured) => measured.subcooling,
  },
];

const stateWords: Record<OperatingState, string> = {
  standing: 'stopped',
  starting: 'starting',
  steady: 'running steadily',
  changing: 'running, not steady',
  stopping: 'stopping',
  reversed: 'running reversed (heating)',
  defrost: 'defrosting',
  'pump-down': 'pumping down',
  'power-lost': 'power lost',
  silent: 'no data',
};

/** Two circuits a table: on a phone the tables stand under each other and none is cut off. */
const perTable = 2;

/** The newest figures of every circuit. */
export function NowTables({ detail }: { detail: UnitDetail }) {
  const circuits = detail.circuits.filter((circuit) => circuit.latest !== null);
  const tables = Array.from({ length: Math.ceil(circuits.length / perTable) }, (_, index) =>
    circuits.slice(index * perTable, (index + 1) * perTable),
  );
  return (
    <>
      {circuits.length === 0 ? (
        <p className="quiet">No circuit has sent a reading yet.</p>
      ) : (
        <div className="now-tables">
          {tables.map((each) => (
            <NowTable key={each[0].number} circuits={each} />
          ))}
        </div>
      )}
      <p className="quiet small">
        ± is one standard uncertainty, from the tolerances of transducer and sensor.
        {circuits.some(({ notReliable }) => notReliable.superheatLevel || notReliable.subcooling) &&
          ' Not reliable: a measurement behind this value was found wrong.'}
      </p>
    </>
  );
}

function NowTable({ circuits }: { circuits: CircuitDetail[] }) {
  const units = useUnits();
  const { instant } = useTimes();
  return (
    <table className="now">
      <thead>
        <tr>
          <th scope="col">Now</th>
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
              {circuit.latest!.state ? stateWords[circuit.latest!.state] : 'not judged yet'}
            </td>
          ))}
        </tr>
        {rows.map(({ words, value, wrong }) => (
          <tr key={words}>
            <th scope="row">{words}</th>
            {circuits.map((circuit) => (
              <td key={circuit.number} className="number">
                {value(circuit.latest!, units)}
                {wrong?.(circuit.notReliable) && <span className="now-note">not reliable</span>}
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
  );
}
