import { refrigerantFacts } from '@coldrounds/core';
import type { FleetUnit } from '../../registry/fleet.js';

/** What a person must mind before hands go on a unit. Local codes and licensed practice come first. */
export function cautionsFor(unit: FleetUnit): string[] {
  const { flammable, toxic, safetyClass, name } = refrigerantFacts(unit.refrigerant);
  return [
    'Local codes and licensed practice come before anything said here. Coldrounds only reads; it has switched nothing off.',
    'The circuit is under pressure, also when it stands: relieve and recover by the rules before it is opened.',
    ...(flammable
      ? [
          `${name} is flammable (class ${safetyClass}): no ignition source, ventilate, use a detector, keep to the rules for the class.`,
        ]
      : []),
    ...(toxic
      ? [`${name} is toxic (class ${safetyClass}): breathing protection and gas detection by the rules.`]
      : []),
    'Live parts and moving parts: isolate and lock out before guards or panels come off; fans and compressors may start by themselves.',
    ...(unit.modules.length > 0
      ? [
          'The backup module keeps its charge after the mains is off and may drive the valve: discharge it as its instructions say and measure before touching.',
        ]
      : []),
  ];
}
