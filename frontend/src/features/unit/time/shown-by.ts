import type { EvidenceData } from '../../../charts/evidence/picture.js';
import type { Span } from './span.js';

const padded = (from_s: number, to_s: number): Span => {
  const room = Math.max(300, (to_s - from_s) / 4);
  return { from_s: from_s - room, to_s: to_s + room };
};

/** The stretch of readings that shows a finding, with room around it; null where the finding is about no one stretch. */
export function shownBy(data: EvidenceData): Span | null {
  switch (data.kind) {
    case 'swing':
    case 'start':
    case 'signal':
    case 'standstill':
      return data.time_s.length === 0 ? null : padded(data.time_s[0], data.time_s.at(-1)!);
    case 'power-loss':
      return padded(data.from_s, Math.max(data.to_s ?? data.from_s + 3600, (data.restartAt_s ?? 0) + 600));
    case 'closing':
    case 'discharge':
      return padded(data.startedAt_s - 300, data.startedAt_s + 300);
    default:
      return null;
  }
}
