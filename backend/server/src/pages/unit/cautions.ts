import { refrigerantFacts } from '@coldrounds/core';
import type { FleetUnit } from '../../registry/fleet.js';

/** What a person must mind before hands go on a unit. Local codes and licensed practice come first. */
export function cautionsFor(unit: FleetUnit): string[] {
  const { flammable, toxic, safetyClass, name } = refrigerantFacts(unit.refrigerant);
  return [
    'Follow local codes and licensed practice before anything said here. Coldrounds only reads; it has not switched anything off.',
    'The circuit is under pressure even when the compressor is off: recover the refrigerant as the rules require before opening it.',
    ...(flammable
      ? [
          `${name} is flammable (class ${safetyClass}): no ignition sources, ventilate, use a gas detector, and follow the rules for its class.`,
        ]
      : []),
    ...(toxic
      ? [
          `${name} is toxic (class ${safetyClass}): use breathing protection and gas detection as the rules require.`,
        ]
      : []),
    'Live and moving parts: isolate and lock out before removing guards or panels; fans and compressors can start on their own.',
    ...(unit.modules.length > 0
      ? [
          'The backup module stays charged after the mains is off and can still drive the valve: discharge it as its instructions say, and measure its voltage before touching it.',
        ]
      : []),
  ];
}
