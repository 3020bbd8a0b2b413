/** At most `count` of the items, evenly taken, the last always among them. */
export function thinned<Item>(items: ArrayLike<Item>, count: number): Item[] {
  if (items.length <= count) return Array.from(items);
  return Array.from(
    { length: count },
    (_, index) => items[Math.round((index * (items.length - 1)) / (count - 1))],
  );
}
