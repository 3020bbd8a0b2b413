import type { UnitDetail } from '../../../api/types.js';
import { Link } from '@tanstack/react-router';
import { useUnits } from '../../../components/site.js';
import { count, decimals, show } from '../../../quantities/format-quantity.js';

export function RegistrySection({ detail }: { detail: UnitDetail }) {
  const units = useUnits();
  const { unit, site } = detail;
  const difference = (value: number) => show(value, 'temperature-difference', units);
  return (
    <section id="facts" className="unit-section">
      <h2>Data from the registry</h2>
      <p>
        <Link to="/registry/$site/units/$unit" params={{ site: site.key, unit: unit.key }}>
          {detail.missing.length === 0
            ? 'Look it up or change it in the registry'
            : `${count(detail.missing.length, 'fact is', 'facts are')} not known: what that costs, and where to add them`}
        </Link>
      </p>
      <dl className="facts">
        <Fact words="Commissioned">{unit.commissionedOn ?? 'not known'}</Fact>
        <Fact words="Controller firmware">{unit.controllerFirmware}</Fact>
        <Fact words="Climate">{site.climate}</Fact>
        <Fact words="Time zone of the site">{site.timeZone}</Fact>
      </dl>
      <div className="facts-columns">
        {detail.circuits.map(({ number, entry }) => (
          <div key={number}>
            <h3>Circuit {number}</h3>
            <dl className="facts">
              <Fact words="Valve">
                {entry.valve.size},{' '}
                {entry.valve.kv_m3_h > 0
                  ? show(entry.valve.kv_m3_h, 'flow-coefficient', units)
                  : 'flow coefficient not known'}
                {entry.valve.motors === 2 && ', two in parallel'}
              </Fact>
              <Fact words="Full stroke">
                {decimals(entry.valve.fullStroke_steps, 0)} steps at {decimals(entry.valve.rate_steps_s, 0)} a
                second
              </Fact>
              <Fact words="Refrigerant charge">
                {show(entry.refrigerantCharge_kg ?? null, 'mass', units, 'not known')}
              </Fact>
              <Fact words="Floodback limit">{difference(entry.floodbackLimit_K)}</Fact>
              <Fact words="Safety margin over the steady floor">{difference(entry.safetyMargin_K)}</Fact>
              <Fact words="Suction transducer">
                {entry.suctionPressure.reference}, ±{' '}
                {show(entry.suctionPressure.tolerance, 'pressure-difference', units)}
              </Fact>
              <Fact words="Discharge transducer">
                {entry.dischargePressure.reference}, ±{' '}
                {show(entry.dischargePressure.tolerance, 'pressure-difference', units)}
              </Fact>
              <Fact words="Suction sensor">± {difference(entry.suctionTemperature.tolerance)}</Fact>
            </dl>
          </div>
        ))}
        {detail.modules.map(({ number, entry }) => (
          <div key={number}>
            <h3>Backup module {number}</h3>
            <dl className="facts">
              <Fact words="Shuts the valves of">circuit {entry.circuits.join(' and ')}</Fact>
              <Fact words="Rated">
                {show(entry.ratedCapacitance_F, 'capacitance', units)},{' '}
                {show(entry.ratedVoltage_V, 'voltage', units)},{' '}
                {show(entry.ratedEsr_Ohm, 'resistance', units)}, {entry.cellsInSeries} cells in series
              </Fact>
              <Fact words="Converter works down to">{show(entry.minimumVoltage_V, 'voltage', units)}</Fact>
              <Fact words="Drive power of one motor">{show(entry.drivePower_W, 'power', units)}</Fact>
              <Fact words="Overdrive">{decimals(entry.overdrive_pct, 0)} % of full stroke</Fact>
              <Fact words="Installed">{entry.installedOn}</Fact>
            </dl>
          </div>
        ))}
      </div>
    </section>
  );
}

function Fact({ words, children }: { words: string; children: React.ReactNode }) {
  return (
    <div>
      <dt>{words}</dt>
      <dd>{children}</dd>
    </div>
  );
}
