import { useUnitEnergy } from '../../api/decisions/energy.js';
import { givenAwayWords } from './energy-words.js';

/** Of a unit, what waiting gives away in energy and money; nothing where that is not told. */
export function EnergyLine({ site, unit }: { site: string; unit: string }) {
  const energy = useUnitEnergy(site, unit);
  if (!energy?.givenAway_J_week) return null;
  return (
    <span className="energy-line">
      Waiting gives away {givenAwayWords(energy.givenAway_J_week, [energy.givenAwayCost_week])}.
    </span>
  );
}

/** The same as a paragraph of its own. */
export function EnergyParagraph(of: { site: string; unit: string }) {
  const energy = useUnitEnergy(of.site, of.unit);
  return energy?.givenAway_J_week ? (
    <p>
      <EnergyLine {...of} />
    </p>
  ) : null;
}
