/** Why a pack is not SenML: a code to group by. */
export type SenmlProblem =
  | 'not-an-array'
  | 'not-a-record'
  | 'wrong-field-type'
  | 'unknown-mandatory-field'
  | 'several-values'
  | 'no-value'
  | 'no-name'
  | 'illegal-name'
  | 'unsupported-version';

/** The pack breaks RFC 8428; `record` is the place of the record in it, counted from 0. */
export class SenmlError extends Error {
  override name = 'SenmlError';
  constructor(
    readonly problem: SenmlProblem,
    readonly record: number,
    detail: string,
  ) {
    super(record < 0 ? detail : `record ${record + 1}: ${detail}`);
  }
}

/** One record as it stands in a pack (RFC 8428 section 4, JSON labels of section 5). */
export interface SenmlRecord {
  bn?: string;
  bt?: number;
  bu?: string;
  bv?: number;
  bs?: number;
  bver?: number;
  n?: string;
  u?: string;
  v?: number;
  vs?: string;
  vb?: boolean;
  vd?: string;
  s?: number;
  t?: number;
  ut?: number;
}

/** A record with its base values applied (RFC 8428 section 4.6): it needs no other record. */
export interface ResolvedRecord {
  name: string;
  unit: string | null;
  /** Seconds since the Unix epoch. */
  time_s: number;
  value: number | string | boolean | null;
  /** `data` is base64url text as sent. */
  kind: 'number' | 'string' | 'boolean' | 'data' | 'none';
  sum: number | null;
  updateTime_s: number | null;
}

/** The base values in force at a record. One object is reused for all records of a pack. */
export interface SenmlBase {
  name: string;
  time_s: number;
  unit: string | null;
  value: number;
  sum: number;
}

/**
 * Called for each record that carries a value or a sum. `time_s` is absolute. The numeric value still lacks
 * `base.value` (see `numericValue`), so that no time goes into numbers that the caller does not need.
 */
export type SenmlVisitor = (record: SenmlRecord, base: SenmlBase, time_s: number, index: number) => void;

/** Times below this are relative to now (RFC 8428 section 4.5.3). */
export const firstAbsoluteTime_s = 2 ** 28;
/** Newest version that a reader of RFC 8428 knows (section 4.4). */
const newestVersion = 10;
const namePattern = /^[A-Za-z0-9][A-Za-z0-9\-:./_]*$/;
const basePattern = /^[A-Za-z0-9\-:./_]*$/;

/**
 * Walks a parsed SenML JSON pack, applying base name, time, unit, value and sum as RFC 8428 sections 4.1 to 4.6 tell.
 * The fast path of ingestion and `decodeSenml` share it, so that what is checked against the RFC is what runs.
 *
 * @param pack The parsed JSON.
 * @param now_s Moment that relative times count from, seconds since the Unix epoch.
 * @throws SenmlError on the first record that breaks the RFC. Nothing of a broken pack should be used.
 */
export function visitSenml(pack: unknown, now_s: number, visit: SenmlVisitor): void {
  if (!Array.isArray(pack))
    throw new SenmlError('not-an-array', -1, 'a SenML pack is a JSON array of records');
  const base: SenmlBase = { name: '', time_s: 0, unit: null, value: 0, sum: 0 };
  let version: number | null = null;
  for (let index = 0; index < pack.length; index++) {
    const record = pack[index] as SenmlRecord;
    if (record === null || typeof record !== 'object' || Array.isArray(record)) {
      throw new SenmlError('not-a-record', index, 'not a JSON object');
    }
    const fields = checkFields(record, index);
    if (fields & hasBase) version = applyBase(record, base, version, index);
    if (!(fields & (hasValue | hasSum))) {
      // Base values may come in a record of their own.
      if (fields & hasBase && !(fields & hasOwn)) continue;
      throw new SenmlError('no-value', index, 'neither a value nor a sum');
    }
    const stated = base.time_s + (record.t ?? 0);
    visit(record, base, stated < firstAbsoluteTime_s ? now_s + stated : stated, index);
  }
}

export const numericValue = (record: SenmlRecord, base: SenmlBase): number => record.v! + base.value;

const hasBase = 1;
const hasValue = 2;
const hasSum = 4;
const hasOwn = 8;

/** Types of all labels at once, and which groups of them are there. */
function checkFields(record: SenmlRecord, index: number): number {
  let found = 0;
  for (const label in record) {
    const value = record[label as keyof SenmlRecord];
    let right: boolean;
    let group: number;
    switch (label) {
      case 'n':
      case 'u':
        right = typeof value === 'string';
        group = hasOwn;
        break;
      case 't':
      case 'ut':
        right = typeof value === 'number';
        group = hasOwn;
        break;
      case 'v':
        right = typeof value === 'number';
        group = hasValue;
        break;
      case 'vb':
        right = typeof value === 'boolean';
        group = hasValue;
        break;
      case 'vs':
      case 'vd':
        right = typeof value === 'string';
        group = hasValue;
        break;
      case 's':
        right = typeof value === 'number';
        group = hasSum;
        break;
      case 'bn':
      case 'bu':
        right = typeof value === 'string';
        group = hasBase;
        break;
      case 'bt':
      case 'bv':
      case 'bs':
      case 'bver':
        right = typeof value === 'number';
        group = hasBase;
        break;
      default:
        // Section 4.4: an unknown label that ends in "_" must be understood; any other may be passed over.
        if (label.endsWith('_')) {
          throw new SenmlError(
            'unknown-mandatory-field',
            index,
            `the field ${label} must be understood by the reader, and is not known here`,
          );
        }
        continue;
    }
    if (!right) throw new SenmlError('wrong-field-type', index, `the field ${label} has the wrong type`);
    if (group === hasValue && found & hasValue) {
      throw new SenmlError('several-values', index, 'more than one value field');
    }
    found |= group;
  }
  return found;
}

function applyBase(
  record: SenmlRecord,
  base: SenmlBase,
  version: number | null,
  index: number,
): number | null {
  if (record.bn !== undefined) {
    if (!basePattern.test(record.bn)) {
      throw new SenmlError('illegal-name', index, 'the base name has characters that SenML does not allow');
    }
    base.name = record.bn;
  }
  if (record.bt !== undefined) base.time_s = record.bt;
  if (record.bu !== undefined) base.unit = record.bu;
  if (record.bv !== undefined) base.value = record.bv;
  if (record.bs !== undefined) base.sum = record.bs;
  if (record.bver === undefined) return version;
  if (!Number.isInteger(record.bver) || record.bver < 1 || record.bver > newestVersion) {
    throw new SenmlError('unsupported-version', index, `SenML version ${record.bver} is not known`);
  }
  if (version !== null && version !== record.bver) {
    throw new SenmlError('unsupported-version', index, 'the version changes within the pack');
  }
  return record.bver;
}

/** The whole name of a record; throws where SenML does not allow it (section 4.5.1). */
export function resolvedName(record: SenmlRecord, base: SenmlBase, index: number): string {
  const name = base.name + (record.n ?? '');
  if (name === '') throw new SenmlError('no-name', index, 'neither a name nor a base name');
  if (!namePattern.test(name)) throw new SenmlError('illegal-name', index, `the name ${name} is not allowed`);
  return name;
}

/**
 * A pack as resolved records in the order sent.
 *
 * @example decodeSenml([{ bn: 'a:', bt: 1.7e9, n: 'x', u: 'V', v: 1 }, { n: 'x', t: 1, v: 2 }], 0)
 */
export function decodeSenml(pack: unknown, now_s: number): ResolvedRecord[] {
  const resolved: ResolvedRecord[] = [];
  visitSenml(pack, now_s, (record, base, time_s, index) => {
    resolved.push({
      name: resolvedName(record, base, index),
      unit: record.u ?? base.unit,
      time_s,
      ...valueOf(record, base),
      sum: record.s === undefined ? null : record.s + base.sum,
      updateTime_s: record.ut ?? null,
    });
  });
  return resolved;
}

function valueOf(record: SenmlRecord, base: SenmlBase): Pick<ResolvedRecord, 'value' | 'kind'> {
  if (record.v !== undefined) return { value: numericValue(record, base), kind: 'number' };
  if (record.vs !== undefined) return { value: record.vs, kind: 'string' };
  if (record.vb !== undefined) return { value: record.vb, kind: 'boolean' };
  if (record.vd !== undefined) return { value: record.vd, kind: 'data' };
  return { value: null, kind: 'none' };
}
