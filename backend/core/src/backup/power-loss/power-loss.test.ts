import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import type { ClosingJudgement } from '../closing/index.js';
import type { ReviewPowerLossInput } from './power-loss-review.js';
import { reviewPowerLoss } from './power-loss.js';
import { assessModule } from '../assess-module.js';
import {
  circuit,
  circuitSeries,
  closing,
  dailyTests,
  day_s,
  module,
  noReadings,
  start_s,
  trace,
} from '../sample-modules.js';

const lost_s = start_s + 30 * day_s;
const back_s = lost_s + 1800;
const restart_s = back_s + 300;
const low_Pa = 3e5;

interface Course {
  opening?: (t: number) => number;
  /** Superheat in the first ten minutes after the restart. */
  superheat_K?: (sinceRestart_s: number) => number;
  restarts?: boolean;
}

/** Runs at 40 % open, loses its mains, stands half an hour while the pressures meet, and restarts five minutes later. */
function seriesOf({
  opening = (t) => (t < lost_s ? 40 : 0),
  superheat_K = () => 6,
  restarts = true,
}: Course) {
  const dew_K = 273.15 + 0.67;
  return circuitSeries(lost_s - 900, back_s + 3600, 10, (t) => {
    const running = t < lost_s || (restarts && t >= restart_s);
    const difference_Pa = running ? 6e5 : 6e5 * Math.exp(-(t - lost_s) / 400);
    return {
      suctionPressure_Pa: low_Pa,
      dischargePressure_Pa: low_Pa + difference_Pa,
      suctionTemperature_K: dew_K + (t < restart_s ? 6 : superheat_K(t - restart_s)),
      valveOpening_pct: opening(t),
      compressorLoad_pct: running ? 70 : 0,
    };
  });
}

const judged = (changed: Partial<ClosingJudgement> = {}) =>
  closing(30, { startedAt_s: lost_s, kind: 'power-loss', openingBefore_pct: 40, ...changed });
const failed = { shut: false, proof: false, openingAfter_pct: 18, timeToShut_s: null } as const;

const review = (
  course: Course,
  judgement: ClosingJudgement | null,
  changed: Partial<ReviewPowerLossInput> = {},
) =>
  reviewPowerLoss({
    module,
    circuits: [circuit],
    loss: { from_s: lost_s, to_s: back_s },
    closing: judgement && { judgement, trace: trace() },
    around: [{ circuit: 1, refrigerant: 'R134a', series: seriesOf(course) }],
    ...changed,
  });
const conditions = (of: { findings: { condition: string }[] }) =>
  of.findings.map(({ condition }) => condition);

describe('the dew point assumed above', () => {
  it('is that of R134a at 0.3 MPa', () => {
    expect(Math.abs(saturationPressure('R134a', 273.15 + 0.67, 'dew') / low_Pa - 1)).toBeLessThan(0.002);
  });
});

describe('a loss at which the valve shut', () => {
  const of = review({}, judged());

  it('says so in one sentence, with time and lowest superheat, and has no finding', () => {
    expect(of.outcome).toBe('shut');
    expect(of.verdict.text).toBe(
      'The valve shut in {time}, and at the restart superheat stayed at {lowest} or above.',
    );
    expect(of.verdict.quantities['time']!.value).toBe(5);
    expect(Math.abs(of.verdict.quantities['lowest']!.value - 6)).toBeLessThan(0.1);
    expect(of.findings).toEqual([]);
  });

  it('gives duration, opening, voltages, energy and pressures at the loss', () => {
    expect(of).toMatchObject({
      duration_s: 1800,
      openingBefore_pct: 40,
      openingAfter_pct: 0,
      voltageBefore_V: 20,
    });
    expect(of.circuits[0]).toMatchObject({
      suctionPressureBefore_Pa: low_Pa,
      dischargePressureBefore_Pa: low_Pa + 6e5,
    });
  });

  it('gives the times at which the pressure difference was halved and nearly gone: 400 s times ln 2 and ln 20', () => {
    const { pressureHalved_s, pressureMet_s } = of.circuits[0]!;
    expect(Math.abs(pressureHalved_s! - 400 * Math.log(2))).toBeLessThanOrEqual(10);
    expect(Math.abs(pressureMet_s! - 400 * Math.log(20))).toBeLessThanOrEqual(10);
  });

  it('lets no refrigerant pass, and sees the restart', () => {
    expect(of.circuits[0]).toMatchObject({ refrigerantPassedAtMost_kg: 0, restartAt_s: restart_s });
  });

  it('carries the caution for pressure, live parts and charged capacitors, and for flammables where they are inside', () => {
    expect(of.caution.text).toMatch(/pressure.*live parts.*capacitors.*local codes/);
    expect(of.caution.text).not.toMatch(/flammable/);
    const series = seriesOf({});
    const propane = review({}, judged(failed), { around: [{ circuit: 1, refrigerant: 'R290', series }] });
    expect(propane.caution.text).toMatch(/flammable/);
  });
});

describe('a loss at which the valve stayed open', () => {
  const opening = (t: number) => (t < lost_s ? 40 : 18);

  it('says how far and how much refrigerant can at most have passed', () => {
    const of = review({ opening }, judged(failed));
    expect(of.outcome).toBe('did-not-shut');
    expect(of.verdict.quantities['opening']!.value).toBe(18);
    // By hand: Kv 2.5 * 0.18, sqrt(1000 * 1292.55 * 6 bar)/3600, times the integral of exp(-t/800) over 2100 s (MEMORY,
    // IEC 60534; density COMPUTED, CoolProp 8.0.0). Carrying each sample on for 10 s adds under 1 %.
    const byHand = ((2.5 * 0.18 * Math.sqrt(1000 * 1292.55 * 6)) / 3600) * 800 * (1 - Math.exp(-2100 / 800));
    expect(of.verdict.quantities['mass']!.value / byHand).toBeGreaterThan(1);
    expect(of.verdict.quantities['mass']!.value / byHand).toBeLessThan(1.02);
  });

  it('gives no more than the charge, where that is known: by the orifice alone 258 kg could pass', () => {
    const holding = (refrigerantCharge_kg: number) =>
      review({ opening }, judged(failed), { circuits: [{ ...circuit, refrigerantCharge_kg }] });
    const small = holding(40);
    expect(small.verdict.text).toMatch(/as much as the whole charge/);
    expect(small.verdict.quantities['mass']!.value).toBe(40);
    expect(small.circuits[0]).toMatchObject({ wholeChargeCanHavePassed: true });
    const large = holding(400);
    expect(large.verdict.text).toMatch(/at most/);
    expect(large.verdict).toEqual(review({ opening }, judged(failed)).verdict);
  });

  it('is reported once: by the assessment of the module where its closing was judged, and not by the review as well', () => {
    const judgement = judged(failed);
    const closings = [...dailyTests(30), judgement];
    const assessed = assessModule({
      module,
      circuits: [circuit],
      closings,
      readings: noReadings,
      now_s: back_s,
    });
    const both = [...conditions(assessed), ...conditions(review({ opening }, judgement))];
    expect(both.filter((each) => each === 'did-not-shut')).toEqual(['did-not-shut']);
  });

  it('is reported by the review where no closing was sent, or the one sent could not tell', () => {
    const unsent = review({ opening }, null);
    expect(conditions(unsent)).toEqual(['did-not-shut']);
    expect(unsent.findings[0]).toMatchObject({ certainty: 'likely', urgency: 'today' });
    expect(unsent.findings[0]!.hazards).toContain('charged-capacitor');
    expect(
      conditions(review({ opening }, judged({ shut: null, proof: false, openingAfter_pct: null }))),
    ).toEqual(['did-not-shut']);
  });

  it('is no finding any more once the valve has been seen to shut', () => {
    const later = review({ opening }, null, { lastProof_s: lost_s + day_s });
    expect(later.outcome).toBe('did-not-shut');
    expect(conditions(later)).toEqual([]);
    expect(conditions(review({ opening }, null, { lastProof_s: lost_s - day_s }))).toEqual(['did-not-shut']);
  });
});

describe('the restart', () => {
  it('with superheat under the floodback limit for 90 s is a finding even though the valve shut', () => {
    const of = review({ superheat_K: (t) => (t < 90 ? 0.5 : 6) }, judged());
    expect(of.outcome).toBe('floodback-at-restart');
    expect(of.circuits[0]!.restartUnderFloodback_s).toBe(80);
    expect(Math.abs(of.circuits[0]!.restartLeastSuperheat_K! - 0.5)).toBeLessThan(0.1);
    expect(conditions(of)).toEqual(['floodback-at-restart']);
    expect(of.findings[0]!.hazards).toContain('rotating-parts');
  });

  it('with superheat low for twenty seconds, two samples, is one too', () => {
    const low = (seconds: number) =>
      conditions(review({ superheat_K: (t) => (t > 0 && t <= seconds ? 1 : 6) }, judged()));
    expect(low(20)).toEqual(['floodback-at-restart']);
    expect(low(10)).toEqual([]);
  });

  it('with superheat low for a quarter of a minute is no finding', () => {
    expect(conditions(review({ superheat_K: (t) => (t < 15 ? 0.5 : 6) }, judged()))).toEqual([]);
  });

  it('is judged over its first ten minutes only', () => {
    expect(review({ superheat_K: (t) => (t > 610 ? 0 : 6) }, judged()).outcome).toBe('shut');
  });

  it('that has not been seen is reported as not seen', () => {
    const of = review({ restarts: false }, judged());
    expect(of.circuits[0]).toMatchObject({ restartAt_s: null, restartLeastSuperheat_K: null });
    expect(of.verdict.text).toMatch(/no restart has been seen/);
  });
});

describe('the time of a loss', () => {
  it('lies up to a minute before the contact was read gone: the opening in that minute does not count as that before the loss', () => {
    const sooner = review({ opening: (t) => (t < lost_s - 40 ? 40 : 18) }, null);
    expect(sooner).toMatchObject({ openingBefore_pct: 40, openingAfter_pct: 18 });
  });
});

describe('a loss of which little is known', () => {
  it('is unknown, and says whether a closing was sent', () => {
    const nothing = { around: [] };
    const unclear = judged({ shut: null, proof: false, openingAfter_pct: null });
    expect(review({}, null, nothing)).toMatchObject({ outcome: 'unknown', shut: null, findings: [] });
    expect(review({}, null, nothing).verdict.text).toMatch(/No closing was sent/);
    expect(review({}, unclear, nothing).verdict.text).toMatch(/not finely enough/);
  });

  it('that still lasts has neither duration nor restart', () => {
    const of = review({ restarts: false }, judged(), { loss: { from_s: lost_s, to_s: null } });
    expect(of).toMatchObject({ duration_s: null, to_s: null });
    expect(of.circuits[0]!.restartAt_s).toBeNull();
  });
});
