import { notKnown } from '@coldrounds/core';
import type { SiteFields } from '../../storage/registry/registration.repository.js';
import type { SiteDraft } from './draft-schemas.js';

/** What is not known of a site and what that costs. */
export const siteCosts: Record<string, { fact: string; cost: string }> = {
  altitude_m: {
    fact: 'height above the sea',
    cost: 'Gauge pressures are taken as at sea level: 100 m more are 1.2 kPa less, about 0.1 K of superheat with R134a.',
  },
  climate: {
    fact: 'climate',
    cost: 'The field study does not compare the site by climate.',
  },
};

/** A site as it is stored: sea level and no climate where nothing is known. */
export function siteFieldsOf(draft: SiteDraft): SiteFields {
  const assumed = [
    ...(draft.altitude_m === null ? ['altitude_m'] : []),
    ...(draft.climate === null ? ['climate'] : []),
  ];
  return {
    ...draft,
    altitude_m: draft.altitude_m ?? 0,
    climate: draft.climate ?? notKnown,
    assumed,
  };
}

export const siteDraftOf = (site: SiteFields): SiteDraft => ({
  key: site.key,
  name: site.name,
  altitude_m: site.assumed.includes('altitude_m') ? null : site.altitude_m,
  latitude_deg: site.latitude_deg,
  longitude_deg: site.longitude_deg,
  timeZone: site.timeZone,
  climate: site.assumed.includes('climate') ? null : site.climate,
  region: site.region,
  currency: site.currency,
  energyPrice_per_kWh: site.energyPrice_per_kWh,
});
