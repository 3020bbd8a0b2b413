// @vitest-environment jsdom
import { QueryClient, QueryClientProvider } from '@tanstack/react-query';
import { cleanup, render, screen } from '@testing-library/preact';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Finding } from '../../../api/types.js';
import { PreferencesProvider } from '../../../app/preferences.js';
import { Cautions, hazardsOf } from '../../../components/cautions.js';
import { FindingSheet } from './finding-sheet.js';

const say = (text: string) => ({ text, quantities: {} });
const finding: Finding = {
  id: '1',
  condition: 'hunting',
  subject: { kind: 'circuit', circuit: 2 },
  headline: {
    text: 'Superheat swings by {a}.',
    quantities: { a: { kind: 'temperature-difference', value: 5 } },
  },
  reasons: [say('It swung in every window.')],
  explanations: [
    {
      cause: 'loop tuned too hard',
      weight: 0.7,
      supports: [say('A sine.')],
      contradicts: [say('It is calm at full load.')],
    },
    { cause: 'valve too large for the duty', weight: 0.3, supports: [], contradicts: [] },
  ],
  separatingCheck: say('Hold the opening fixed.'),
  certainty: 'possible',
  urgency: 'this-week',
  waiting: { score: 1, sentence: say('The valve wears.') },
  visit: [say('Bring a motor.')],
  hazards: ['pressure'],
  firstSeen_s: 0,
  lastSeen_s: 0,
  openedAt: '',
  updatedAt: '',
  endedAt: null,
};

beforeEach(() => {
  localStorage.clear();
  vi.stubGlobal('matchMedia', () => ({
    matches: false,
    addEventListener: () => {},
    removeEventListener: () => {},
  }));
  // Its picture is fetched once it comes near the window; here nothing answers.
  vi.stubGlobal('fetch', () => new Promise(() => {}));
});
afterEach(cleanup);

const shown = () => {
  render(
    <QueryClientProvider client={new QueryClient()}>
      <PreferencesProvider>
        <FindingSheet finding={finding} open />
      </PreferencesProvider>
    </QueryClientProvider>,
  );
  return document.body.textContent ?? '';
};

describe('a finding on the unit page', () => {
  it('answers in the order of the questions: what, why, what else, the check, waiting, what to do', () => {
    const text = shown();
    const order = [
      'Superheat swings by 5.0 K.',
      'It swung in every window.',
      'loop tuned too hard',
      'It is calm at full load.',
      'Hold the opening fixed.',
      'The valve wears.',
      'Bring a motor.',
    ].map((words) => text.indexOf(words));
    expect(order.every((place) => place >= 0)).toBe(true);
    expect([...order].sort((a, b) => a - b)).toEqual(order);
  });
  it('says urgency and certainty in words', () => {
    shown();
    expect(screen.getByText('this week')).toBeDefined();
    expect(document.body.textContent).toContain('Possible.');
  });
  it('shows the reader’s units: 5 K of difference is 9 degrees Fahrenheit', () => {
    localStorage.setItem('coldrounds.units', 'inch-pound');
    expect(shown()).toContain('Superheat swings by 9.0 °F.');
  });
});

describe('the cautions', () => {
  // PUBLISHED: ISO 817:2014, clause 6: classes 2L, 2 and 3 burn, class B is of higher toxicity.
  it('follow the refrigerant’s safety class as well as the findings', () => {
    const plain = { findings: [], safetyClass: 'A1', modules: 0 };
    expect(hazardsOf(plain)).toEqual(['pressure', 'live-parts', 'rotating-parts']);
    expect(hazardsOf({ ...plain, safetyClass: 'A2L' })).toContain('flammable');
    expect(hazardsOf({ ...plain, safetyClass: 'B2L' })).toEqual(
      expect.arrayContaining(['flammable', 'toxic']),
    );
    expect(hazardsOf({ ...plain, modules: 1 })).toContain('charged-capacitor');
    expect(hazardsOf({ ...plain, findings: [{ hazards: ['toxic'] }] })).toContain('toxic');
  });
  it('defer to the local codes and say that Coldrounds only reads', () => {
    render(<Cautions hazards={['pressure']} />);
    expect(document.body.textContent).toContain('under the local codes');
    expect(document.body.textContent).toContain('Coldrounds only reads');
  });
});
