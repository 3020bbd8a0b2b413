import { useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { placesQuery, type Subject, type UnitPlaces } from '../../../api/study.js';
import { useUnits } from '../../../components/site.js';
import { count, decimals } from '../../../quantities/format-quantity.js';
import { figure, quantityWords } from '../../study/ask/quantity-words.js';

type Place = UnitPlaces['circuits'][number]['quantities'][number];

interface UnitPath {
  site: string;
  unit: string;
}

/** Where a circuit lies among its like, with the questions behind it. */
export function PlaceLine({ path }: { path: UnitPath & { circuit: number } }) {
  const places = useQuery(placesQuery({ site: path.site, unit: path.unit }));
  const own = places.data?.circuits.find(({ circuit }) => circuit === path.circuit);
  return <Places of="circuits" days={places.data?.days} quantities={own?.quantities} />;
}

/** The same of a backup module. */
export function ModulePlaceLine({ path }: { path: UnitPath & { module: number } }) {
  const places = useQuery(placesQuery({ site: path.site, unit: path.unit }));
  const own = places.data?.modules.find(({ module }) => module === path.module);
  return <Places of="modules" days={places.data?.days} quantities={own?.quantities} />;
}

interface PlacesProps {
  of: Extract<Subject, 'circuits' | 'modules'>;
  days: number | undefined;
  quantities: Place[] | undefined;
}

function Places({ of, days, quantities }: PlacesProps) {
  const system = useUnits();
  const known = quantities?.filter(({ below }) => below !== null) ?? [];
  if (known.length === 0) return null;
  return (
    <>
      <h3>Among its like</h3>
      <ul className="places">
        {known.map((place) => (
          <li key={place.quantity}>
            <Link
              to="/study"
              search={{
                of,
                picture: 'distribution',
                quantity: place.quantity,
                days,
                split: splitOf(place),
              }}
            >
              {quantityWords[place.quantity].words}
            </Link>{' '}
            <b className="n">{figure(place.quantity, place.value, system)}</b>: {rank(place, of)}
          </li>
        ))}
      </ul>
    </>
  );
}

const splitOf = ({ alikeIn }: Place): string | undefined => alikeIn[0];

/** Where it lies among its like; of many with the same value it is not said to be higher than half of these. */
export function rank(
  { below, equal, others, alikeIn }: Pick<Place, 'below' | 'equal' | 'others' | 'alikeIn'>,
  of: PlacesProps['of'],
): string {
  const one = of === 'circuits' ? 'circuit' : 'module';
  const like =
    alikeIn.length === 0
      ? count(others, `other ${one}`)
      : `${count(others, one)} alike in ${alikeIn.join(', ')}`;
  if (equal === 1) return `the same as all of ${like}`;
  if (below === 1) return `higher than all of ${like}`;
  if (below === 0 && equal === 0) return `lower than all of ${like}`;
  const part = (share: number) => `${decimals(100 * share, 0)} %`;
  const same = equal ? `, the same as ${part(equal)}` : '';
  return `higher than ${part(below!)}${same} of ${like}`;
}
