import type { SiteReport } from '../../api/decisions/report.js';
import { withStop } from '../decisions/standing-words.js';

type Cause = SiteReport['found'][number]['cause'];
type Found = SiteReport['found'][number];
type Visit = SiteReport['visits'][number];

/** Each cause as the owner of a building understands it: what it is, and what it does. */
const told: Record<Cause, string> = {
  'loop-tuned-too-hard':
    'The control of the expansion valve overreacts, so that the valve keeps opening and closing. It wears out early and wastes energy.',
  'valve-too-large': 'The expansion valve is too large for this machine and cannot be controlled smoothly.',
  'valve-too-small': 'The expansion valve is too small, so that the machine cannot give its full cooling.',
  'valve-friction': 'The expansion valve sticks and moves in jerks.',
  'valve-offset': 'The expansion valve opens less than the control believes.',
  'valve-leaks-by':
    'The expansion valve does not shut tight. While the machine stands, refrigerant can collect where it may damage the compressor.',
  'tandem-mismatch': 'Two expansion valves that should work alike do not.',
  'load-swings':
    'The demand for cooling, or its water, swings so fast that the machine cannot follow calmly.',
  'circuits-disturb-each-other': 'Two parts of the machine disturb each other’s control.',
  'setpoint-under-steady-floor':
    'The control is set so that the machine runs unsteadily. Liquid may reach the compressor.',
  'setpoint-too-high': 'The control is set more cautiously than needed, which costs energy.',
  'measurement-noise': 'A measurement is unsteady, so that the control is misled.',
  'missing-refrigerant':
    'The machine has too little refrigerant. It may be leaking and gives less cooling for more energy.',
  'excess-refrigerant': 'The machine has too much refrigerant, which costs energy.',
  'gas-in-circuit': 'Air or another gas has got into the refrigerant, which costs energy.',
  'condenser-fouled': 'The condenser, where heat leaves the machine, is dirty. That costs energy.',
  'condenser-flow-low': 'Too little water or air carries the heat away from the machine. That costs energy.',
  'evaporator-fouled': 'The evaporator, where the water is cooled, is dirty inside. That costs energy.',
  'evaporator-flow-low': 'Too little water flows through the machine to be cooled.',
  'liquid-line-restricted':
    'A pipe or filter in the machine is partly blocked, so that it gives less cooling.',
  'compressor-weak': 'The compressor has lost some of its strength.',
  'sensor-wrong': 'A sensor of the machine reads wrongly.',
  'sensors-swapped': 'Two sensors of the machine are connected the wrong way round.',
  'registry-wrong': 'Our records of the machine do not match what is installed.',
  'capacitor-worn':
    'The backup that closes the valve when power fails is worn. It may not be able to close it much longer.',
  'capacitor-cell-weak': 'A cell of the backup that closes the valve when power fails is weak.',
  'charger-weak': 'The backup that closes the valve when power fails is not charged as it should be.',
  'module-leaks': 'The backup that closes the valve when power fails loses its charge.',
  'module-unproven':
    'It has not been seen for some time that the backup closes the valve when power fails. A test is due.',
  'something-else': 'The machine does not run as it usually does. The reason is not known yet.',
};

export const causeForCustomer = (cause: Cause): string => told[cause];

const urgencyTold: Record<Found['urgency'], string> = {
  today: 'needs attention at once',
  'this-week': 'needs attention within the week',
  'next-visit': 'can wait for the next visit',
  watch: 'is being watched',
};
export const urgencyForCustomer = (urgency: Found['urgency']): string => urgencyTold[urgency];

interface Told {
  name: string;
  words: string;
  cautions: readonly string[];
}

/** The same said of several parts of a machine stands once, with how many they are; the order is kept. */
export function toldOnce(told: readonly Told[]): (Told & { times: number })[] {
  const once = new Map<string, Told & { times: number }>();
  for (const each of told) {
    const key = [each.name, each.words, ...each.cautions].join('\n');
    const before = once.get(key);
    if (before) before.times++;
    else once.set(key, { ...each, times: 1 });
  }
  return [...once.values()];
}

/** What is going to happen with an open problem. */
export function planForCustomer({ plan, endedAt }: Found, day: (of: string) => string): string {
  if (endedAt !== null) return '';
  if (plan === null || plan.kind === 'open') return 'No visit is planned yet.';
  if (plan.back) return 'It is being looked at again.';
  if (plan.kind === 'handed-over')
    return plan.due === null ? 'A visit is planned.' : `A visit is planned by ${day(plan.due)}.`;
  if (plan.kind === 'put-off')
    return plan.due === null
      ? 'It can wait, and is watched until it gets worse.'
      : `It can wait until ${day(plan.due)}, and is watched until then.`;
  if (plan.kind === 'accepted') return 'It is known and has been accepted for now.';
  return 'It was visited and is being watched.';
}

export function seenForCustomer({ seen }: Visit): string {
  if (seen.kind === 'nothing') return 'Nothing wrong was found.';
  if (seen.kind === 'other') return `Found: ${withStop(seen.words)}`;
  return causeForCustomer(seen.cause);
}

export function outcomeForCustomer({ outcome }: Visit): string {
  if (outcome === null || outcome.kind === 'watching') return 'We are watching whether it stays right.';
  if (outcome.kind === 'gone') return 'It has been right since.';
  if (outcome.kind === 'unchanged') return 'It is not better yet; we keep working on it.';
  const days = Math.max(1, Math.round(outcome.after_s / 86_400));
  return `It came back after ${days === 1 ? 'a day' : `${days} days`}; we keep working on it.`;
}
