import { describe, expect, it } from 'vitest';
import { Outbox, type Kept } from './outbox.js';

const kept = (n: number): Kept => ({
  finding: String(n),
  about: `finding ${n}`,
  body: { kind: 'note', text: `note ${n}`, key: `key-${n}` },
});

function boxOn(values = new Map<string, string>()) {
  return new Outbox(() => ({
    getItem: (name) => values.get(name) ?? null,
    setItem: (name, value) => void values.set(name, value),
    removeItem: (name) => void values.delete(name),
  }));
}

describe('the outbox', () => {
  it('keeps what was decided until the server has it, also over a restart of the page', async () => {
    const values = new Map<string, string>();
    boxOn(values).keep(kept(1));
    const later = boxOn(values);
    expect(later.list()).toEqual([kept(1)]);
    await later.sendAll(async () => 'taken');
    expect(boxOn(values).list()).toEqual([]);
  });

  it('sends in order, and stops where the server is away', async () => {
    const box = boxOn();
    [1, 2, 3].forEach((n) => box.keep(kept(n)));
    const sent: string[] = [];
    await box.sendAll(async ({ finding }) => {
      sent.push(finding);
      return finding === '2' ? 'away' : 'taken';
    });
    expect(sent).toEqual(['1', '2']);
    expect(box.list().map(({ finding }) => finding)).toEqual(['2', '3']);
  });

  it('keeps what was refused with the reason, and does not send it again by itself', async () => {
    const box = boxOn();
    box.keep(kept(1));
    await box.sendAll(async () => ({ refused: 'somebody else has decided meanwhile' }));
    expect(box.list()[0].refused).toMatch(/meanwhile/);
    let sent = 0;
    await box.sendAll(async () => {
      sent++;
      return 'taken';
    });
    expect(sent).toBe(0);
    box.drop('key-1');
    expect(box.list()).toEqual([]);
  });

  it('sends nothing twice when asked twice at once', async () => {
    const box = boxOn();
    box.keep(kept(1));
    let sent = 0;
    const send = async () => {
      sent++;
      return 'taken' as const;
    };
    await Promise.all([box.sendAll(send), box.sendAll(send)]);
    expect(sent).toBe(1);
  });

  it('works without storage, and with a storage that holds something else', () => {
    expect(new Outbox(() => null).list()).toEqual([]);
    expect(boxOn(new Map([['coldrounds.outbox', 'not JSON']])).list()).toEqual([]);
  });
});
