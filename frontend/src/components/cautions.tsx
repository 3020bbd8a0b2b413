import './cautions.css';
import type { Hazard } from '../api/types.js';

const hazardWords: Record<Hazard, string> = {
  pressure:
    'Refrigerant is under pressure: relieve and recover before opening; wear goggles and gloves against cold burns.',
  flammable:
    'The refrigerant can burn: keep ignition sources away, ventilate, use a detector and tools made for flammable refrigerants.',
  toxic: 'The refrigerant is toxic: use a detector and breathing protection, and do not work alone.',
  'live-parts': 'Live parts: lock out, tag out and prove dead before touching anything.',
  'charged-capacitor':
    'The backup module holds charge after the supply is off: discharge by the manufacturer’s procedure and measure before touching. It can also drive the valve without mains.',
  'rotating-parts': 'Fans and compressors can start without warning: lock them out.',
};

/** What any unit has, what its modules and findings add, and what the refrigerant's safety class adds: A or B for toxicity, 2L, 2 or 3 for flammability (ISO 817). */
export function hazardsOf(unit: {
  findings: readonly { hazards: Hazard[] }[];
  safetyClass: string | null;
  modules: number;
}): Hazard[] {
  const { findings, safetyClass, modules } = unit;
  const all = new Set<Hazard>([
    'pressure',
    'live-parts',
    'rotating-parts',
    ...findings.flatMap((finding) => finding.hazards),
  ]);
  if (modules > 0) all.add('charged-capacitor');
  if (safetyClass && /[23]/.test(safetyClass)) all.add('flammable');
  if (safetyClass?.startsWith('B')) all.add('toxic');
  return (Object.keys(hazardWords) as Hazard[]).filter((hazard) => all.has(hazard));
}

/** Stands wherever a page leads to hands on a unit, on screen and in print. */
export function Cautions({
  hazards,
  further = [],
  heading: Heading = 'h3',
}: {
  hazards: readonly Hazard[];
  further?: readonly string[];
  /** As the page around it needs. */
  heading?: 'h2' | 'h3';
}) {
  return (
    <aside className="cautions" aria-label="Cautions">
      <Heading className="cautions-head">Before you work on the unit</Heading>
      <ul>
        {hazards.map((hazard) => (
          <li key={hazard}>{hazardWords[hazard]}</li>
        ))}
        {further.map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ul>
      <p>
        Work is for qualified, licensed people, under the local codes and the manufacturer’s instructions,
        which take precedence over anything said here. Coldrounds only reads: it has not switched anything off
        or made anything safe.
      </p>
    </aside>
  );
}
