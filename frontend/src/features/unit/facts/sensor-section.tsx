import type { UnitDetail } from '../../../api/types.js';
import { Say } from '../../../components/say.js';
import { urgencyWords } from '../../../components/urgency/urgency.js';
import { subjectWords } from '../../../quantities/subject-words.js';

/** Can the measurement be right? What was found, or what was looked for without finding anything. */
export function SensorSection({ detail }: { detail: UnitDetail }) {
  // The wrong refrigerant on all circuits at once is said of the unit.
  const found = detail.findings.filter(
    ({ subject, condition }) => subject.kind === 'sensor' || condition === 'wrong-refrigerant',
  );
  return (
    <section id="sensors" className="unit-section">
      <h2>Sensor checks</h2>
      {found.length === 0 ? (
        <p>No sensor fault found on this unit.</p>
      ) : (
        <ul className="bullets">
          {found.map((finding) => (
            <li key={finding.id}>
              <Say statement={finding.headline} />{' '}
              <span className="quiet">
                ({subjectWords(finding.subject)}, {urgencyWords[finding.urgency]})
              </span>
            </li>
          ))}
        </ul>
      )}
      <p className="quiet small measure">
        Checked without a reference instrument: bias at standstill, suction and discharge transducers swapped,
        gauge pressure taken for absolute, the wrong refrigerant in the registry, values that are frozen,
        jump, are clipped or are noisier than the sensor’s class, a suction sensor that has come loose. The
        checks at standstill wait until the circuit has stopped for long enough.
      </p>
    </section>
  );
}
