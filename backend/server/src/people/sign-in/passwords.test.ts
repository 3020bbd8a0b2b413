import { describe, expect, it } from 'vitest';
import { TooManyAttemptsError } from '../identity.js';
import { objectionTo, PasswordHasher } from './passwords.js';

describe('a password', () => {
  const about = ['Jo Marsh', 'jo.marsh@example.org'];
  it('is long enough and not made of what everybody knows', () => {
    expect(objectionTo('seven chillers on the roof', about)).toBeNull();
    expect(objectionTo('elevenchars', about)).toMatch(/at least 12/);
    expect(objectionTo('aaaaaaaaaaaaaaaa', about)).toMatch(/repeat/);
    expect(objectionTo('1234567890123456', about)).toMatch(/keyboard/);
    expect(objectionTo('1qaz2wsx3edc', about)).toMatch(/most used/);
    expect(objectionTo('LeaveMeAlone', about)).toMatch(/most used/);
    expect(objectionTo('password12345', about)).toMatch(/must not be made of/);
    expect(objectionTo('marsh.example.1', about)).toMatch(/must not be made of/);
    expect(objectionTo('x'.repeat(64) + 'abcdefgh'.repeat(9), about)).toMatch(/at most 128/);
  });

  it('is recognised by its hash, and no password where there is no account', async () => {
    const hasher = new PasswordHasher();
    const stored = await hasher.hash('seven chillers on the roof');
    expect(await hasher.verify(stored, 'seven chillers on the roof')).toBe(true);
    expect(await hasher.verify(stored, 'seven chillers on the root')).toBe(false);
    expect(await hasher.verify(null, 'no account has this password')).toBe(false);
    expect(await hasher.hash('seven chillers on the roof')).not.toBe(stored);
  });

  it('has a hash that is known for an old one by its settings', async () => {
    const hasher = new PasswordHasher();
    const now = await hasher.hash('seven chillers on the roof');
    expect(hasher.isOld(now)).toBe(false);
    expect(hasher.isOld(now.replace('m=19456', 'm=12288'))).toBe(true);
    expect(hasher.isOld(now.replace('argon2id', 'argon2i'))).toBe(true);
  });

  it('is looked at one at a time; beyond a short queue one is asked to come back', async () => {
    const hasher = new PasswordHasher();
    const outcomes = await Promise.allSettled(
      Array.from({ length: 100 }, () => hasher.verify(null, 'a guess')),
    );
    const refused = outcomes.filter(({ status }) => status === 'rejected') as PromiseRejectedResult[];
    expect(refused).toHaveLength(80);
    expect(refused.every(({ reason }) => reason instanceof TooManyAttemptsError)).toBe(true);
    expect(await hasher.verify(null, 'a guess')).toBe(false);
  });
});
