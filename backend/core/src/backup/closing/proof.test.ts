import { describe, expect, it } from 'vitest';
import { failedToShut, proofState } from './proof.js';
import { closing, day_s, start_s } from '../sample-modules.js';
import { defaultBackupSettings } from '../settings.js';

const state = (closings: Parameters<typeof proofState>[0], day: number) =>
  proofState(closings, start_s + day * day_s, defaultBackupSettings);
const unclear = { shut: null, proof: false } as const;

describe('a module', () => {
  it('is proven for 180 days after a closing that ended shut, and unproven on the day after', () => {
    expect(state([closing(0)], 180)).toMatchObject({
      state: 'proven',
      age_s: 180 * day_s,
      kind: 'self-test',
    });
    expect(state([closing(0)], 181)).toMatchObject({
      state: 'unproven',
      reason: 'too-old',
      lastProof_s: start_s,
    });
  });

  it('is unproven without a closing, with closings too coarse to tell, and with none in which the valve travelled', () => {
    expect(state([], 1)).toMatchObject({ state: 'unproven', reason: 'no-closing', lastProof_s: null });
    expect(state([closing(0, unclear), closing(1, unclear)], 2)).toMatchObject({
      reason: 'telemetry-too-coarse',
    });
    expect(state([closing(0, { proof: false, openingBefore_pct: 0 })], 2)).toMatchObject({
      reason: 'no-travel',
    });
  });

  it('is unproven by a closing since that did not end shut, until one does again', () => {
    const failed = closing(2, { shut: false, proof: false, openingAfter_pct: 20 });
    expect(state([closing(0), failed], 3)).toMatchObject({ reason: 'did-not-shut', lastProof_s: start_s });
    expect(state([closing(0), failed, closing(3)], 4)).toMatchObject({ state: 'proven' });
  });

  it('stays proven through a closing that cannot be judged', () => {
    expect(state([closing(0), closing(5, unclear)], 6)).toMatchObject({
      state: 'proven',
      lastProof_s: start_s,
    });
  });
});

describe('a closing that did not end shut', () => {
  const still = { shut: false, proof: false, openingBefore_pct: 40, openingAfter_pct: 40 } as const;
  it('is no failure where the valve never moved in a self-test, and is one at a power loss', () => {
    expect(failedToShut(closing(0, still))).toBe(false);
    expect(failedToShut(closing(0, { ...still, kind: 'power-loss' }))).toBe(true);
    expect(failedToShut(closing(0, { ...still, openingAfter_pct: 10 }))).toBe(true);
    expect(failedToShut(closing(0, unclear))).toBe(false);
  });
});
