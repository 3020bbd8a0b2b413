import { describe, expect, it } from 'vitest';
import { assessCircuit } from '../../assess-circuit.js';
import { circuit } from '../../sample-circuit.js';
import { days, window, type Change } from '../../sample-window.js';
import type { WindowJudgement } from '../../windows/window-judgement.js';

const said = (windows: WindowJudgement[]) =>
  assessCircuit({ windows, refrigerant: 'R134a', circuit }).findings.find(
    ({ condition }) => condition === 'superheat-off-setpoint',
  );
const off = (change: Change = {}) =>
  said(days(3, { ...change, superheat: { offset_K: 3.5, ...change.superheat } }));
const reasons = (change: Change) =>
  off(change)!
    .reasons.map(({ text }) => text)
    .join(' ');

describe('superheat away from its setpoint', () => {
  it('is said where the valve is free: then telemetry and controller do not agree', () => {
    const finding = off()!;
    expect(finding.urgency).toBe('next-visit');
    expect(finding.reasons[1]!.text).toMatch(/works with another superheat or setpoint/);
    expect(finding.separatingCheck!.text).toMatch(/on the controller itself/);
  });

  it('is left to the valve where that is at an end of its travel', () => {
    expect(off({ valve: { nearOpenFraction: 0.06 } })).toBeUndefined();
    expect(off({ valve: { nearShutFraction: 0.06 } })).toBeUndefined();
    expect(off({ valve: { nearOpenFraction: 0.05 } })).toBeDefined();
    // At its end for over half of the time, it is not told from the rest.
    const mostly = days(3, { superheat: { offset_K: 3.5 } }).map((one, k) =>
      k % 5 < 3 ? { ...one, valve: { ...one.valve!, nearOpenFraction: 0.5 } } : one,
    );
    expect(said(mostly)).toBeUndefined();
  });

  it('is not taken from windows that hunt: a cycle has a mean of its own', () => {
    const hunting = days(3, { superheat: { offset_K: 3.5 } }).map((one) => ({
      ...one,
      oscillation: {
        ...one.oscillation,
        oscillating: true,
        amplitude: 2,
        period_s: 200,
        huntingMinutes: 120,
      },
    }));
    expect(said(hunting)).toBeUndefined();
  });

  it('must be more than two uncertainties of superheat', () => {
    expect(off({ superheat: { uncertainty_K: 1.7 } })).toBeDefined();
    expect(off({ superheat: { uncertainty_K: 1.8 } })).toBeUndefined();
  });

  it('says that the valve stands where it does, and where its opening is not sent', () => {
    expect(reasons({ valve: { minimum_pct: 50, maximum_pct: 50.2 } })).toMatch(/valve stands at/);
    expect(reasons({ valve: { minimum_pct: 45, maximum_pct: 55 } })).toMatch(/valve moves/);
    const blind = days(3, { superheat: { offset_K: 3.5 } }).map((one) => ({ ...one, valve: null }));
    expect(
      said(blind)!
        .reasons.map(({ text }) => text)
        .join(' '),
    ).toMatch(/opening is not sent/);
  });

  it('needs an hour of windows with the valve free', () => {
    const short = (minutes: number) => said([window(0, { superheat: { offset_K: 3.5, minutes } })]);
    expect(short(59)).toBeUndefined();
    expect(short(61)).toBeDefined();
  });
});
