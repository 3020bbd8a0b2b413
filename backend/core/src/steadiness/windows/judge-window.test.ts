import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { circuit } from '../sample-circuit.js';
import { assessCircuit } from '../assess-circuit.js';
import { judgeWindow } from './judge-window.js';
import { summarise } from './summaries.js';

const start_s = 1_700_006_400;

function series(
  superheat: (i: number) => number,
  rest: Partial<Record<keyof CircuitSeries, (i: number) => number>> = {},
  samples = 720,
): CircuitSeries {
  const s = emptyCircuitSeries(samples);
  const pressure = saturationPressure('R134a', 276.15, 'dew');
  for (let i = 0; i < samples; i++) {
    s.time_s[i] = start_s + 10 * i;
    s.suctionPressure_Pa[i] = pressure;
    s.suctionTemperature_K[i] = 276.15 + superheat(i);
    s.valveOpening_pct[i] = 45;
    s.compressorLoad_pct[i] = 70;
    s.superheatSetpoint_K[i] = 6;
    for (const [name, value] of Object.entries(rest)) s[name as keyof CircuitSeries][i] = value(i);
  }
  return s;
}
const judge = (s: CircuitSeries, window?: { from_s: number; to_s: number }) =>
  judgeWindow({ series: s, refrigerant: 'R134a', circuit, window });
const ripple = (i: number) => 0.1 * Math.sin(i * i);

describe('a judged window', () => {
  it('gives level, spread and the distance from the setpoint over its steady minutes', () => {
    const { superheat, minutes } = judge(series((i) => (i % 2 ? 7.5 : 6.5)));
    expect(minutes.steady).toBeCloseTo(120, 6);
    expect(superheat!.mean_K).toBeCloseTo(7, 3);
    expect(superheat!.spread_K).toBeCloseTo(0.5, 3);
    expect(superheat!.offset_K).toBeCloseTo(1, 3);
    // R134a near 3 C: 8.2..8.8 K/bar, so 8 kPa is about 0.7 K; with 0.3 K over root 3 (GUM 4.3.7).
    expect(superheat!.uncertainty_K).toBeCloseTo(Math.hypot(0.69, 0.3) / Math.sqrt(3), 1);
  });

  it('tells under the limit as read from surely and possibly under it', () => {
    const { superheat } = judge(series((i) => (i < 180 ? 0 : i < 360 ? 1.8 : i < 540 ? 2.2 : 6)));
    expect(superheat!.underLimitFraction).toBeCloseTo(0.5, 2);
    expect(superheat!.surelyUnderLimitFraction).toBeCloseTo(0.25, 2);
    expect(superheat!.possiblyUnderLimitFraction).toBeCloseTo(0.75, 2);
  });

  it('judges only steady running: not the start, the stop, a change of load or silence', () => {
    const load = (i: number) => (i < 60 || i >= 660 ? 0 : i < 400 ? 50 : 80);
    const s = series(() => 6, { compressorLoad_pct: load });
    for (let i = 500; i < 530; i++) s.suctionPressure_Pa[i] = NaN;
    const { minutes, superheat } = judge(s);
    expect(minutes.standing).toBeCloseTo(20, 0);
    expect(minutes.starting).toBeCloseTo(10, 0);
    expect(minutes.stopping).toBeCloseTo(2, 0);
    expect(minutes.changing).toBeCloseTo(10, 0);
    expect(minutes.silent).toBeCloseTo(5, 0);
    expect(superheat!.minutes).toBeCloseTo(minutes.steady, 6);
    const total = Object.values(minutes).reduce((sum, m) => sum + m, 0);
    expect(total).toBeCloseTo(120, 6);
  });

  it('takes a load that goes to and fro for a swing and not for a change', () => {
    const { minutes, oscillation } = judge(
      series((i) => 6 + Math.sin((2 * Math.PI * i) / 120) + ripple(i), {
        compressorLoad_pct: (i) => 60 + 15 * Math.sin((2 * Math.PI * (i + 20)) / 120),
      }),
    );
    expect(minutes.steady).toBeCloseTo(120, 6);
    expect(oscillation.oscillating).toBe(true);
    const load = oscillation.partners.find(({ signal }) => signal === 'compressor-load')!;
    expect(load.amplitude).toBeCloseTo(15, 1);
    expect(load.lead_cycles).toBeCloseTo(1 / 6, 2);
  });

  it('counts silence before the first and after the last sample of its bounds', () => {
    const { minutes } = judge(
      series(() => 6, {}, 360),
      { from_s: start_s - 1800, to_s: start_s + 5400 },
    );
    expect(minutes.silent).toBeCloseTo(60, 0);
  });

  it('calls time without mains power lost', () => {
    const judgement = judgeWindow({
      series: series(() => 6),
      refrigerant: 'R134a',
      circuit,
      powerLost: [{ from_s: start_s + 1000, to_s: start_s + 1600 }],
    });
    expect(judgement.minutes['power-lost']).toBeCloseTo(10, 6);
  });

  it('counts travel and reversals of the valve', () => {
    const triangle = (i: number) => 40 + Math.abs((i % 40) - 20);
    const { valve } = judge(series(() => 6, { valveOpening_pct: triangle }));
    expect(valve!.travel_strokes).toBeCloseTo(7.19, 6);
    expect(valve!.reversals).toBe(35);
  });

  it('says nothing without data and survives JSON', () => {
    const empty = judge(emptyCircuitSeries(0));
    expect(empty.superheat).toBeNull();
    expect(empty.oscillation.oscillating).toBeNull();
    const full = judge(series((i) => 6 + Math.sin(i / 3)));
    expect(JSON.parse(JSON.stringify(full))).toEqual(full);
    expect(JSON.stringify(full).length).toBeLessThan(5000);
  });
});

describe('an assessment', () => {
  it('claims nothing from an hour of nothing', () => {
    const assessment = assessCircuit({ windows: [], refrigerant: 'R134a', circuit });
    expect(assessment.findings).toEqual([]);
    expect(assessment.huntingKnown).toBe(false);
    expect(assessment.floor).toBeNull();
  });

  it('weighs windows by their steady minutes', () => {
    const long = judge(series(() => 6));
    const short = judge(series(() => 9, {}, 240));
    expect(summarise([long, short])!.mean_K).toBeCloseTo((6 * 120 + 9 * 40) / 160, 3);
  });

  it('finds superheat under the floodback limit, urgent, with its cautions', () => {
    const windows = [0, 1, 2, 3].map((k) => {
      const s = series((i) => (i % 3 ? 5 : -0.5) + ripple(i));
      s.time_s.forEach((t, i) => (s.time_s[i] = t + 7200 * k));
      return judge(s);
    });
    const { findings } = assessCircuit({ windows, refrigerant: 'R32', circuit });
    const risk = findings.find(({ condition }) => condition === 'floodback-risk')!;
    expect(risk.urgency).toBe('today');
    expect(risk.certainty).toBe('certain');
    expect(risk.hazards).toContain('flammable');
    expect(risk.hazards).toContain('pressure');
  });
});
