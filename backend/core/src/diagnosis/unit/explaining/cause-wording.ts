import type { Cause } from '../../cause.js';
import type { FindingSubject } from '../../finding.js';
import { statement, type Statement } from '../../statement.js';

/** Each cause as an engineer says it, and the check that shows it by itself. Checks defer to local codes and licensed practice. */
const wording: Record<Cause, { name: string; check: string }> = {
  'loop-tuned-too-hard': {
    name: 'the superheat loop is tuned too hard',
    check: 'Have an authorised person halve the gain for an hour: a loop tuned too hard becomes steady.',
  },
  'valve-too-large': {
    name: 'the valve is too large for the duty',
    check:
      'Compare the opening at the highest load with full stroke: a valve too large stays far under half.',
  },
  'valve-too-small': {
    name: 'the valve is too small for the duty',
    check: 'Look at subcooling while the valve is fully open: with a valve that is too small it stays high.',
  },
  'valve-friction': {
    name: 'the valve sticks',
    check:
      'Compare the turning points of opening and superheat: a sticking valve moves in steps that superheat follows late.',
  },
  'valve-offset': {
    name: 'the valve opens less than its counted position, after lost steps',
    check:
      'Let the valve run to its reference position at the next stop, and compare the opening before and after.',
  },
  'valve-leaks-by': {
    name: 'the shut valve leaks by',
    check:
      'Watch the pressures after a stop with the valve shut: they equalise within minutes where it leaks.',
  },
  'tandem-mismatch': {
    name: 'the two parallel valves do not open alike',
    check: 'Compare the temperatures right after both valves at part load.',
  },
  'load-swings': {
    name: 'swings of load or water disturb superheat',
    check: 'See whether the entering water turns before superheat does.',
  },
  'circuits-disturb-each-other': {
    name: 'two circuits disturb each other',
    check: 'Hold one circuit at a fixed load for an hour: the other becomes steady.',
  },
  'setpoint-under-steady-floor': {
    name: 'the superheat setpoint is under the steady floor',
    check: 'Have an authorised person raise the setpoint by 2 K for an hour: the circuit becomes steady.',
  },
  'setpoint-too-high': {
    name: 'the superheat setpoint is higher than it needs to be',
    check: 'Compare the setpoint with the steady floor at the same load.',
  },
  'measurement-noise': {
    name: 'the measurement is noisy',
    check: 'Look at the signal at standstill: noise of the measurement is there too.',
  },
  'missing-refrigerant': {
    name: 'refrigerant is missing',
    check: 'Look for bubbles in the sight glass at high load, and search for a leak.',
  },
  'excess-refrigerant': {
    name: 'there is too much refrigerant',
    check: 'Compare the liquid level of the condenser, or the charge in the log book, with the nameplate.',
  },
  'gas-in-circuit': {
    name: 'there is non-condensable gas in the circuit',
    check:
      'After a long stop with water or air passing the condenser, compare its pressure with the saturation pressure at the temperature of that water or air: gas keeps it higher.',
  },
  'condenser-fouled': {
    name: 'the condenser is fouled',
    check:
      'After a long stop the condenser pressure agrees with its temperature; a fouled condenser only shows while running.',
  },
  'condenser-flow-low': {
    name: 'too little water or air passes the condenser',
    check: 'Read the pressure drop across the condenser, and check strainer, valves, pump or fans.',
  },
  'evaporator-fouled': {
    name: 'the evaporator is fouled or poorly wetted',
    check:
      'Compare the water pressure drop of the evaporator with that at commissioning: flow is then ruled out.',
  },
  'evaporator-flow-low': {
    name: 'too little water passes the evaporator',
    check: 'Read the pressure drop across the evaporator, and check strainer, valves and pump.',
  },
  'liquid-line-restricted': {
    name: 'the liquid line is restricted',
    check: 'Measure the temperature before and after the filter drier: a restriction cools the liquid.',
  },
  'compressor-weak': {
    name: 'the compressor delivers less than it should',
    check: 'Compare current, discharge temperature and capacity at full load with the data sheet.',
  },
  'sensor-wrong': {
    name: 'a sensor reads wrong',
    check: 'Compare the sensor with a reference instrument at the same place.',
  },
  'sensors-swapped': {
    name: 'two sensors are swapped',
    check: 'Warm or disconnect one sensor by hand and see which value moves.',
  },
  'registry-wrong': {
    name: 'the registry does not describe the unit as it is',
    check: 'Read the nameplate of unit and transducer: refrigerant, span, gauge or absolute.',
  },
  'capacitor-worn': { name: 'the capacitor is worn', check: 'Run a self-test at the rated temperature.' },
  'capacitor-cell-weak': {
    name: 'one cell of the capacitor is weak',
    check: 'Measure the voltage of each cell.',
  },
  'charger-weak': { name: 'the charger does not reach its voltage', check: 'Measure the charging voltage.' },
  'module-leaks': {
    name: 'the module loses its charge',
    check: 'Watch the voltage for an hour without mains.',
  },
  'module-unproven': { name: 'the module has not been proven', check: 'Run a self-test.' },
  'something-else': {
    name: 'something other than the known causes',
    check: 'Read the symptoms one by one on site.',
  },
};

export const causeName = (cause: Cause): string => wording[cause].name;

/** A cause on what it is about: a wrong sensor is named. */
const nameOn = (cause: Cause, subject: FindingSubject | undefined): string =>
  cause === 'sensor-wrong' && subject?.kind === 'sensor'
    ? `the ${subject.sensor.replaceAll('-', ' ')} sensor reads wrong`
    : wording[cause].name;

/** Two causes whose probabilities differ by no more are said as equals. Judgement, no source. */
const asLikely = 0.1;
/** Causes that are likelier than this beside each other are there at once. */
const atOnce = 0.5;

/** One line for a unit: the cause, and how sure; the likeliest other one too where it is about as likely. */
export function causeHeadline(
  cause: Cause,
  weight: number,
  rival?: { cause: Cause; weight: number },
  subject?: FindingSubject,
): Statement {
  const name = nameOn(cause, subject);
  const sentence = name.charAt(0).toUpperCase() + name.slice(1);
  if (cause === 'something-else') return statement('None of the known causes explains this well.');
  if (
    rival &&
    rival.cause !== 'something-else' &&
    rival.weight >= weight - asLikely &&
    rival.weight <= atOnce
  )
    return statement(`Perhaps ${name}, or ${wording[rival.cause].name}; both are about as likely.`);
  return statement(
    weight >= 0.9 ? `${sentence}.` : weight >= 0.6 ? `Probably, ${name}.` : `Perhaps ${name}.`,
  );
}

/** The check that tells a cause from its likeliest rival: the cause's own, or the rival's where the cause is a guess at the rest. */
export function checkBetween(cause: Cause, rival: Cause | undefined): Statement | null {
  if (rival === undefined) return null;
  return statement(wording[cause === 'something-else' ? rival : cause].check);
}
