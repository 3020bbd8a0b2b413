import { useEffect, useState } from 'react';

/** What is being typed into a form, kept in the browser until it was sent, so that nothing is typed twice. */
export function useDraft<Draft extends object>(
  name: string,
  empty: Draft,
): [Draft, (change: Partial<Draft>) => void, () => void] {
  const key = `coldrounds.draft.${name}`;
  const [draft, setDraft] = useState<Draft>(() => ({ ...empty, ...stored<Draft>(key) }));
  useEffect(() => {
    try {
      if (JSON.stringify(draft) === JSON.stringify(empty)) localStorage.removeItem(key);
      else localStorage.setItem(key, JSON.stringify(draft));
    } catch {
      // Kept for this page only.
    }
  });
  return [draft, (change) => setDraft((before) => ({ ...before, ...change })), () => setDraft(empty)];
}

function stored<Draft>(key: string): Partial<Draft> {
  try {
    const value: unknown = JSON.parse(localStorage.getItem(key) ?? '{}');
    return typeof value === 'object' && value !== null ? (value as Partial<Draft>) : {};
  } catch {
    return {};
  }
}
