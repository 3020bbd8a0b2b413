import { sparkplugRoot } from '@coldrounds/core/sparkplug';
import { topicRoot } from '@coldrounds/core/telemetry';

/** What the key of a site's gateway opens at the broker, as topic filters of MQTT. */
export interface SiteTopics {
  publish: string[];
  read: string[];
}

/**
 * Telemetry of the site; in Sparkplug B that of the group named as the site, whose edge nodes have to read what a host
 * asks of them (Sparkplug 3.0, chapter 4) and whether it is there.
 */
export function topicsOfSite(site: string): SiteTopics {
  const group = (message: string, rest: string) => `${sparkplugRoot}/${site}/${message}/${rest}`;
  return {
    publish: [
      `${topicRoot}/${site}/#`,
      ...['NBIRTH', 'NDEATH', 'NDATA'].map((message) => group(message, '+')),
      ...['DBIRTH', 'DDEATH', 'DDATA'].map((message) => group(message, '+/+')),
    ],
    read: [group('NCMD', '#'), group('DCMD', '#'), `${sparkplugRoot}/STATE/#`],
  };
}

/** The user of a gateway at the broker. No key of a site holds a full stop, so none is taken for another. */
export const userOf = (site: string, number: number): string => `${site}.${number}`;

/** The site and number of such a user; null: it is none. */
export function gatewayOf(user: string): { site: string; number: number } | null {
  const match = /^([a-z0-9][a-z0-9-]*)\.([1-9]\d{0,8})$/.exec(user);
  return match === null ? null : { site: match[1], number: Number(match[2]) };
}

/**
 * Whether `filter` covers all that `asked` can stand for, where `asked` is a topic or itself a filter (MQTT 3.1.1,
 * section 4.7). Topics that begin with `$` are covered by no wildcard.
 */
export function covers(filter: string, asked: string): boolean {
  const wanted = asked.split('/');
  const levels = filter.split('/');
  if (asked.startsWith('$') && /^[+#]/.test(filter)) return false;
  for (const [i, level] of levels.entries()) {
    if (level === '#') return i < wanted.length;
    if (i >= wanted.length || wanted[i] === '#') return false;
    if (level !== '+' && level !== wanted[i]) return false;
  }
  return levels.length === wanted.length;
}

export const coversAny = (filters: readonly string[], asked: string): boolean =>
  filters.some((filter) => covers(filter, asked));
