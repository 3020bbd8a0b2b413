import type { SiteFigures } from '../../storage/repositories/portfolio.repository.js';

export interface Position {
  latitude_deg: number;
  longitude_deg: number;
}

/** Mean radius of the Earth (IUGG, Moritz 2000, Geodetic Reference System 1980), m. */
const earthRadius_m = 6_371_008.8;
const rad = Math.PI / 180;

/** Great-circle distance by the haversine formula, m; within 0.6 % of that on the ellipsoid. */
export function distance_m(a: Position, b: Position): number {
  const half = (x: number, y: number) => Math.sin(((y - x) * rad) / 2) ** 2;
  const h =
    half(a.latitude_deg, b.latitude_deg) +
    Math.cos(a.latitude_deg * rad) * Math.cos(b.latitude_deg * rad) * half(a.longitude_deg, b.longitude_deg);
  return 2 * earthRadius_m * Math.asin(Math.min(1, Math.sqrt(h)));
}

/** A technician drives no further for what can wait. Judgement, no source. */
export const nearby_m = 60_000;
const most = 5;

/** Null where the registry has no position of a site; zeros where a document that has to give one had none. */
const isKnown = <Site extends { latitude_deg: number | null; longitude_deg: number | null }>(
  site: Site,
): site is Site & Position =>
  site.latitude_deg !== null &&
  site.longitude_deg !== null &&
  (site.latitude_deg !== 0 || site.longitude_deg !== 0);

/** Units of a site that ask something of someone. */
const due = ({ byUrgency: [today, thisWeek, nextVisit] }: SiteFigures): number =>
  today + thisWeek + nextVisit;

/** Sites near another one where something is due, nearest first; none where no position is known. */
export function nearbySites(
  key: string,
  sites: readonly SiteFigures[],
): { site: SiteFigures; distance_m: number }[] {
  const from = sites.find((site) => site.key === key);
  if (from === undefined || !isKnown(from)) return [];
  return sites
    .filter(isKnown)
    .filter((site) => site !== from && due(site) > 0)
    .map((site) => ({ site, distance_m: distance_m(from, site) }))
    .filter((near) => near.distance_m <= nearby_m)
    .sort((a, b) => a.distance_m - b.distance_m || (a.site.key < b.site.key ? -1 : 1))
    .slice(0, most);
}
