/** A file of a site's month, by its number, and the owners whose rows it has; rows as they are expected of the whole month. */
export interface MonthFile {
  number: number;
  owners: { ownerId: number; monthRows: number }[];
}

/** What is moved at once: these owners, into the file of this number. */
export interface ChosenPart {
  number: number;
  ownerIds: number[];
}

const monthDays = 31;

/** Rows that an owner has in a whole month who has so many in some days of it. */
export const monthRows = (rows: number, days: number): number =>
  Math.ceil((rows * monthDays) / Math.min(monthDays, Math.max(1, days)));

/**
 * Which of the owners with rows to be moved go next, and into which file. An owner has one file in a month, so that no time of
 * its own is in two; those of one file go together. Owners that have none yet fill the last file up to a number of rows,
 * then new ones. One owner alone may have more than that.
 *
 * @param owners at least one, in the order of their ids
 * @example choosePart([], [{ ownerId: 1, monthRows: 6 }, { ownerId: 2, monthRows: 6 }], 10) // { number: 1, ownerIds: [1] }
 */
export function choosePart(
  files: readonly MonthFile[],
  owners: MonthFile['owners'],
  most_rows: number,
): ChosenPart {
  const inOrder = [...files].sort((a, b) => a.number - b.number);
  const last = inOrder.at(-1);
  const fileOf = new Map(inOrder.flatMap((file) => idsOf(file.owners).map((id) => [id, file] as const)));
  const mine = inOrder.find((file) => owners.some(({ ownerId }) => fileOf.get(ownerId) === file));
  const placed = mine === undefined ? [] : idsOf(owners).filter((id) => fileOf.get(id) === mine);
  // Only the last file takes owners that have none yet.
  if (mine !== undefined && mine !== last) return { number: mine.number, ownerIds: placed };
  const newOwners = owners.filter(({ ownerId }) => !fileOf.has(ownerId));
  if (last !== undefined) {
    const ownerIds = [...placed, ...filling(newOwners, most_rows - sum(last.owners))].sort((a, b) => a - b);
    if (ownerIds.length > 0) return { number: last.number, ownerIds };
  }
  const began = filling(newOwners, most_rows);
  return {
    number: (last?.number ?? 0) + 1,
    ownerIds: began.length > 0 ? began : [newOwners[0]!.ownerId],
  };
}

const idsOf = (owners: MonthFile['owners']) => owners.map(({ ownerId }) => ownerId);
const sum = (owners: MonthFile['owners']) => owners.reduce((all, own) => all + own.monthRows, 0);

/** The first of the owners that have room together. */
function filling(owners: MonthFile['owners'], room: number): number[] {
  let all = 0;
  const end = owners.findIndex((own) => (all += own.monthRows) > room);
  return idsOf(end === -1 ? owners : owners.slice(0, end));
}
