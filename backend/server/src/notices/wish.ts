/** What a person wants to be told, when, and in which units. */
export interface NoticeWish {
  /** `07:00`, by the clock of `timeZone`; null: no digest. */
  digestAt: string | null;
  /** Days of the digest as ISO 8601 counts them: 1 is Monday. */
  digestDays: number[];
  /** At once, when a unit needs a look today. */
  alerts: boolean;
  /** No alerts from one time to the other, also over midnight; null: at any time. */
  quiet: { from: string; until: string } | null;
  timeZone: string;
  measures: Measures;
}

export type Measures = 'si' | 'inch-pound';

/** Nobody is told anything before they ask for it. */
export const nothingWished: NoticeWish = {
  digestAt: null,
  digestDays: [1, 2, 3, 4, 5],
  alerts: false,
  quiet: null,
  timeZone: 'UTC',
  measures: 'si',
};
