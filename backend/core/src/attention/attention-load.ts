/**
 * How much the round asks of a person. Limits from memory of ISA-18.2 and EEMUA 191: about one new item in ten minutes
 * and 150 a day for one person; an item that comes and goes three times a minute or more is chattering.
 */
export const attentionLimits = { newPer10Minutes: 1, newPerDay: 150, chatterPerMinute: 3 } as const;

export interface AttentionLoad {
  newItems: number;
  perPersonPerDay: number;
  perPersonPer10Minutes: number;
  /** Ten-minute slots in which a person got more than ten new items (a flood), as a share of all slots. */
  floodShare: number;
  bearable: boolean;
}

/** Load over a span from the times at which items that ask something of someone were opened. `watch` findings do not belong in it. */
export function attentionLoad(
  openedAt_s: readonly number[],
  span: { from_s: number; to_s: number },
  people = 1,
): AttentionLoad {
  const length = span.to_s - span.from_s;
  const slots = Math.max(1, Math.ceil(length / 600));
  const perSlot = new Uint32Array(slots);
  let newItems = 0;
  for (const at of openedAt_s) {
    if (at < span.from_s || at >= span.to_s) continue;
    perSlot[Math.min(slots - 1, Math.floor((at - span.from_s) / 600))]++;
    newItems++;
  }
  const perPersonPerDay = newItems / people / (slots / 144);
  const floods = perSlot.reduce((count, items) => count + (items / people > 10 ? 1 : 0), 0);
  return {
    newItems,
    perPersonPerDay,
    perPersonPer10Minutes: newItems / people / slots,
    floodShare: floods / slots,
    bearable:
      perPersonPerDay <= attentionLimits.newPerDay &&
      newItems / people / slots <= attentionLimits.newPer10Minutes,
  };
}

/** Whether an item was opened three times or more within any minute. Times ascending. */
export function isChattering(openedAt_s: readonly number[]): boolean {
  const many = attentionLimits.chatterPerMinute;
  for (let i = many - 1; i < openedAt_s.length; i++)
    if (openedAt_s[i] - openedAt_s[i - many + 1] <= 60) return true;
  return false;
}
