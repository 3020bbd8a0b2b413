import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { placesQuery, type UnitPlaces } from '../../../api/study.js';
import { useUnits } from '../../../components/site.js';
import { count, decimals } from '../../../quantities/format-quantity.js';
import { figure, quantityWords } from '../../study/ask/quantity-words.js';

type Place = UnitPlaces['circuits'][number]['quantities'][number];

/** Where a circuit lies among its like, with the questions behind it. */
export function PlaceLine({ path }: { path: { site: string; unit: string; circuit: number } }) {
  const system = useUnits();
  const places = useQuery(placesQuery({ site: path.site, unit: path.unit }));
  const own = places.data?.circuits.find(({ circuit }) => circuit === path.circuit);
  const known = own?.quantities.filter(({ below }) => below !== null) ?? [];
  if (places.data === undefined || known.length === 0) return null;
  return (
    <>
      <h3>Among its like</h3>
      <ul className="places">
        {known.map((place) => (
          <li key={place.quantity}>
            <Link
              to="/study"
              search={{
                of: 'circuits',
                picture: 'distribution',
                quantity: place.quantity,
                days: places.data.days,
                split: splitOf(place),
              }}
            >
              {quantityWords[place.quantity].words}
            </Link>{' '}
            <b className="n">{figure(place.quantity, place.value, system)}</b>: {rank(place)}
          </li>
        ))}
      </ul>
    </>
  );
}

const splitOf = ({ alikeIn }: Place): string | undefined => alikeIn[0];

function rank({ below, others, alikeIn }: Place): string {
  const like =
    alikeIn.length === 0
      ? count(others, 'other circuit')
      : `${count(others, 'circuit')} alike in ${alikeIn.join(', ')}`;
  return `higher than ${decimals(100 * below!, 0)} % of ${like}`;
}
