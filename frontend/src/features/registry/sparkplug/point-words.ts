import type { NodePath, SparkplugMetric, UnitPoint, UnitPoints } from '../../../api/registry/sparkplug.js';

type Quantity = Pick<UnitPoint, 'stream' | 'number' | 'quantity'>;

const streamWords: Record<UnitPoint['stream'], string> = {
  circuits: 'circuit',
  water: 'water',
  condenser: 'condenser',
  backup: 'backup module',
};

/** `suction-pressure` of circuit 2 as `circuit 2: suction pressure`. */
export const quantityWords = ({ stream, number, quantity }: Quantity): string =>
  `${streamWords[stream]}${number === null ? '' : ` ${number}`}: ${quantity.replaceAll('-', ' ')}`;

export const nodeWords = ({ group, edge, device }: NodePath): string =>
  [group, edge, device].filter((part) => part !== '').join(' / ');

/** One text for each quantity, and for each edge node or device, by which a form tells them apart. */
export const quantityKey = ({ stream, number, quantity }: Quantity): string =>
  `${stream} ${number ?? ''} ${quantity}`;
export const nodeKey = ({ group, edge, device }: NodePath): string => `${group}/${edge}/${device}`;

/** What a row of the form says of a metric; `quantity` empty: it is not used. */
export interface Choice {
  quantity: string;
  unit: string;
  scale: string;
}
export const notUsed: Choice = { quantity: '', unit: '', scale: '' };

/** The form as it opens: what is registered of an edge node or device, else what its metrics probably are. */
export function choicesOf(
  { points, quantities }: Pick<UnitPoints, 'points' | 'quantities'>,
  node: NodePath,
  metrics: readonly SparkplugMetric[],
): Record<string, Choice> {
  const own = points.filter((point) => nodeKey(point) === nodeKey(node));
  if (own.length > 0)
    return Object.fromEntries(
      own.map((point) => [
        point.metric,
        {
          quantity: quantityKey(point),
          unit: point.unit,
          scale: point.scale === 1 ? '' : String(point.scale),
        },
      ]),
    );
  const taken = new Set(points.map(quantityKey));
  const choices: Record<string, Choice> = {};
  for (const { name, guess } of metrics) {
    if (guess === null || taken.has(quantityKey(guess))) continue;
    taken.add(quantityKey(guess));
    const [only, ...others] = quantities.find((one) => quantityKey(one) === quantityKey(guess))?.units ?? [];
    choices[name] = {
      ...{ quantity: quantityKey(guess), scale: '' },
      unit: guess.unit ?? (others.length === 0 ? (only ?? '') : ''),
    };
  }
  return choices;
}

/** All points of the unit as the form has them, or what is missing in words. */
export function pointsOf(
  { points, quantities }: Pick<UnitPoints, 'points' | 'quantities'>,
  node: NodePath,
  choices: Record<string, Choice>,
): UnitPoint[] | string {
  const others = points.filter((point) => nodeKey(point) !== nodeKey(node));
  const taken = new Map(others.map((point) => [quantityKey(point), point.metric]));
  const own: UnitPoint[] = [];
  for (const [metric, { quantity, unit, scale }] of Object.entries(choices)) {
    const known = quantities.find((one) => quantityKey(one) === quantity);
    if (known === undefined) continue;
    const before = taken.get(quantity);
    if (before !== undefined) return `${quantityWords(known)} is both ${before} and ${metric}.`;
    taken.set(quantity, metric);
    if (unit === '') return `In which unit is ${metric} sent?`;
    const factor = scale.trim() === '' ? 1 : Number(scale.replace(',', '.'));
    if (!Number.isFinite(factor) || factor === 0) return `${metric} times ${scale} is no number.`;
    const { group, edge, device } = node;
    own.push({ ...{ group, edge, device, metric, unit, scale: factor }, ...partOf(known) });
  }
  return [...others, ...own];
}

const partOf = ({ stream, number, quantity }: Quantity): Quantity => ({ stream, number, quantity });
