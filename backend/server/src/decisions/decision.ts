import type { Cause, Certainty, Finding, FindingSubject, Statement, Urgency } from '@coldrounds/core';

export const decisionKinds = ['hand-over', 'put-off', 'accept', 'close', 'note'] as const;
export type DecisionKind = (typeof decisionKinds)[number];

/** What a visit found: a cause of the list, another in words, or nothing wrong. */
export type Seen = { kind: 'cause'; cause: Cause } | { kind: 'other'; words: string } | { kind: 'nothing' };

export const handQuantities = [
  'suction-pressure',
  'discharge-pressure',
  'suction-temperature',
  'discharge-temperature',
  'liquid-temperature',
] as const;
export type HandQuantity = (typeof handQuantities)[number];

/** A value read by hand with an instrument of one's own; Pa absolute or K. */
export interface HandReading {
  circuit: number;
  quantity: HandQuantity;
  value: number;
  at_s: number;
}

/** The same beside telemetry of that minute. */
export interface ComparedReading extends HandReading {
  /** Mean of the samples within a minute; null: there were none. */
  telemetry: number | null;
  samples: number;
  /** Telemetry less the value read by hand. */
  difference: number | null;
  /** Expanded uncertainty of the difference, coverage factor 2. */
  uncertainty: number | null;
  verdict: 'agrees' | 'differs' | 'no-telemetry';
}

/** Dates are calendar days at the unit's site. */
export type Decided =
  | { kind: 'hand-over'; assignee: number; due: string; reason: string | null }
  | { kind: 'put-off'; until: string | null; reason: string }
  | { kind: 'accept'; review: string; reason: string }
  | { kind: 'close'; seen: Seen; done: string; parts: string[]; readings: ComparedReading[] }
  | { kind: 'note'; text: string };

/** What is kept of a finding beside each decision on it. */
export interface DecidedFinding {
  condition: string;
  subject: FindingSubject;
  headline: Statement;
  urgency: Urgency;
  certainty: Certainty;
  /** The cause that was said to be likeliest, and how likely; null: none. */
  said: { cause: Cause; weight: number } | null;
}

export type KnownFinding = Pick<
  Finding,
  'condition' | 'subject' | 'headline' | 'urgency' | 'certainty' | 'lastSeen_s'
>;
