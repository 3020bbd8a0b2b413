import { mean } from 'd3-array';
import { useQuery } from '@tanstack/react-query';
import { useCallback } from 'react';
import type { WindowPicture } from '../../../api/types.js';
import { windowQuery, type CircuitPath } from '../../../api/queries.js';
import { useUnits } from '../../../components/site.js';
import {
  autocorrelationOption,
  loopOption,
  spectrumOption,
  traceHeight,
  traceOption,
} from '../../../charts/hunting.js';
import { Chart, type Drawing } from '../../../components/chart/chart.js';
import { Say } from '../../../components/say.js';
import { useTimes } from '../../../components/zone.js';
import { Failed, Loading } from '../../../components/states.js';
import { decimals, formatDuration, show } from '../../../quantities/format-quantity.js';

export function WindowPictures({ path, start_s }: { path: CircuitPath; start_s: number }) {
  const window = useQuery(windowQuery(path, start_s));
  if (window.isPending) return <Loading what="the window" />;
  if (window.isError)
    return <Failed what="the window" error={window.error} retry={() => void window.refetch()} />;
  return <Pictures picture={window.data} />;
}

const meanOf = (column: readonly (number | null)[]) => mean(column.filter((value) => value !== null)) ?? null;

const originWords = {
  'valve-friction': 'The shape of the swing points to friction in the valve.',
  'not-valve-friction': 'The shape of the swing does not fit friction in the valve.',
  undecided: 'The shape of the swing alone neither confirms nor rules out friction in the valve.',
};

function Pictures({ picture }: { picture: WindowPicture }) {
  const units = useUnits();
  const { instant } = useTimes();
  const { judgement, trace, cycles, autocorrelation, spectrum, loop, floodbackLimit_K } = picture;
  const { oscillation } = judgement;
  const drawTrace = useCallback(
    ({ theme, system }: Drawing) => traceOption(trace, cycles, floodbackLimit_K, theme, system),
    [trace, cycles, floodbackLimit_K],
  );
  const drawCorrelation = useCallback(
    ({ theme }: Drawing) => autocorrelationOption(autocorrelation!, oscillation.period_s, theme),
    [autocorrelation, oscillation.period_s],
  );
  const drawSpectrum = useCallback(
    ({ theme }: Drawing) => spectrumOption(spectrum!, spectrum!.found_s, theme),
    [spectrum],
  );
  const drawLoop = useCallback(({ theme, system }: Drawing) => loopOption(loop, theme, system), [loop]);
  return (
    <div className="window">
      <h3>
        Window from {instant(judgement.from_s)} to {instant(judgement.to_s)}
      </h3>
      <p className="measure" aria-live="polite">
        {oscillation.oscillating === null
          ? 'Too little data to say whether it hunts: fewer than four cycles or too little steady running.'
          : oscillation.oscillating
            ? `It hunts: a cycle of ${show(oscillation.period_s, 'duration', units)}, amplitude ${show(oscillation.amplitude, 'temperature-difference', units)}${oscillation.cycles === null ? '' : `, ${decimals(oscillation.cycles, 0)} cycles seen`}. ${oscillation.origin ? originWords[oscillation.origin] : ''}`
            : 'It does not hunt.'}{' '}
        Based on {formatDuration(oscillation.judgedMinutes * 60)} of steady running.
      </p>
      <Chart
        draw={drawTrace}
        height={traceHeight}
        label={`Superheat and valve opening of the window, each reading; mean superheat ${show(meanOf(trace.superheat_K), 'temperature-difference', units)}, ${cycles.length} cycles marked`}
        caption={cycles.length > 0 ? 'Every second detected cycle is shaded.' : undefined}
      />
      <div className="pictures">
        {autocorrelation && (
          <div>
            <h4>Autocorrelation</h4>
            <Chart
              draw={drawCorrelation}
              height={230}
              label="Autocorrelation of superheat over lag"
              caption="A peak at a lag means that the trace repeats after that time."
            />
          </div>
        )}
        {spectrum && (
          <div>
            <h4>Spectrum</h4>
            <Chart
              draw={drawSpectrum}
              height={230}
              label="Power of superheat over period"
              caption="One narrow peak is a cycle; a broad slope is noise or drift."
            />
          </div>
        )}
        <div>
          <h4>Opening against superheat</h4>
          <Chart
            draw={drawLoop}
            height={230}
            label="Superheat against valve opening in time order"
            caption="An open loop: superheat lags the valve. Flat sides: the valve position changes and superheat does not respond."
          />
        </div>
      </div>
      <Indices readings={picture.readings} />
    </div>
  );
}

function Indices({ readings }: { readings: WindowPicture['readings'] }) {
  if (readings.length === 0) return null;
  return (
    <details className="small">
      <summary>
        Oscillation indices: {readings.filter((reading) => reading.agrees).length} of {readings.length}{' '}
        indicate a cycle
      </summary>
      <dl className="indices">
        {readings.map((reading) => (
          <div key={reading.key}>
            <dt>
              {reading.name} <b className="n">{decimals(reading.value, 3)}</b>, limit{' '}
              {decimals(reading.limit, 3)}: {reading.agrees ? 'indicates a cycle' : 'does not'}
            </dt>
            <dd>
              <Say statement={reading.meaning} /> <span className="quiet">{reading.source}</span>
            </dd>
          </div>
        ))}
      </dl>
    </details>
  );
}
