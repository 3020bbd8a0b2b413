import { useQuery } from '@tanstack/react-query';
import { fleetEnergyQuery } from '../../api/decisions/energy.js';
import { count } from '../../quantities/format-quantity.js';
import { energyWords, givenAwayWords, isSure, withCost } from './energy-words.js';

/** The sum over all units in a sentence or two; nothing where nothing is told. */
export function FleetEnergySentence() {
  const { data } = useQuery(fleetEnergyQuery);
  if (!data || (data.givenAway_J_week === null && data.saved_J === null)) return null;
  const { givenAway_J_week, givenAwayCost_week, saved_J, savedCost, units } = data;
  return (
    <>
      {givenAway_J_week !== null &&
        `${count(units, 'unit gives', 'units give')} away ${givenAwayWords(givenAway_J_week, givenAwayCost_week)}. `}
      {saved_J !== null &&
        isSure(saved_J) &&
        `Saved ${withCost(energyWords(saved_J), savedCost)} since visits put things right. `}
    </>
  );
}
