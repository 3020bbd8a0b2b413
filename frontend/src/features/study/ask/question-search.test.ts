import { describe, expect, it } from 'vitest';
import { addressOf } from '../../../api/study.js';
import { figure, hasCourse, quantitiesOf, quantityWords, scaleFor } from './quantity-words.js';
import { datesOf, questionOf, readStudySearch, spanOf } from './question-search.js';
import { readyQuestions } from './ready-questions.js';

describe('the question of an address', () => {
  it('is what the address says, whatever form the browser gives it', () => {
    const search = readStudySearch({
      picture: 'share',
      quantity: 'huntingFraction',
      over: '0.2',
      where: 'climate:mild',
      days: 90,
      split: 'firmware',
      first: 4,
    });
    expect(questionOf(search)).toMatchObject({
      ...{ of: 'circuits', picture: 'share', quantity: 'huntingFraction', over: 0.2, days: 90 },
      ...{ split: 'firmware', where: ['climate:mild'] },
    });
    expect(search.first).toBe('4');
    expect(addressOf(questionOf(search))).toContain('where=climate%3Amild');
  });

  it('leaves out what it cannot mean', () => {
    const search = readStudySearch({
      of: 'birds',
      quantity: 'colour',
      days: -3,
      to: 'yesterday',
      picture: 7,
    });
    expect(questionOf(search)).toMatchObject({ of: 'circuits', picture: 'distribution', days: 28 });
    // Of what is known as of now only there is no course over time; of modules by months.
    expect(questionOf({ of: 'modules', quantity: 'closingReserve', picture: 'trend' }).picture).toBe(
      'distribution',
    );
    expect(questionOf({ of: 'modules', picture: 'trend', period: 'week' })).toMatchObject({
      picture: 'trend',
      period: undefined,
    });
    expect(readStudySearch({ change: 'weather', span: 3 })).toMatchObject({
      change: undefined,
      span: undefined,
    });
    expect(questionOf({ range: ['compressorLoad_pct:..', 'compressorLoad_pct:40..'] }).range).toEqual([
      'compressorLoad_pct:40..',
    ]);
    expect(questionOf({ quantity: 'headroom_K', picture: 'share' }).picture).toBe('distribution');
    expect(questionOf({ of: 'sensors', picture: 'scatter' }).picture).toBe('distribution');
  });

  it('has its span as days up to a last one, today where none is said', () => {
    const now_ms = Date.parse('2026-11-28T15:00:00Z');
    expect(datesOf({ days: 28 }, now_ms)).toEqual({ from: '2026-11-01', to: '2026-11-28' });
    expect(datesOf({ days: 1, to: '2026-03-01' }, now_ms)).toEqual({ from: '2026-03-01', to: '2026-03-01' });
    expect(spanOf('2026-11-01', '2026-11-28', now_ms)).toEqual({ days: 28, to: undefined });
    expect(spanOf('2026-02-01', '2026-02-28', now_ms)).toEqual({ days: 28, to: '2026-02-28' });
    expect(spanOf('2026-02-02', '2026-02-01', now_ms)).toBeNull();
    expect(spanOf('', '2026-02-01', now_ms)).toBeNull();
  });

  it('of those to start from can each be asked as it stands', () => {
    for (const { search } of readyQuestions) {
      const question = questionOf(search);
      const { change: _change, became: _became, ...asked } = search;
      expect(question).toMatchObject(asked);
      if (question.picture === 'share') expect(hasCourse(question.quantity)).toBe(true);
    }
  });
});

describe('figures in words', () => {
  it('exist for all that can be asked', () => {
    for (const name of Object.values(quantitiesOf).flat()) expect(quantityWords[name].words).not.toBe('');
  });

  it('are in the units of the reader, and a difference of temperatures is no temperature', () => {
    expect(figure('superheatMean_K', 6, 'si')).toBe('6.0 K');
    expect(figure('condensingTemperature_K', 313.15, 'si')).toBe('40.0 °C');
    expect(figure('condensingTemperature_K', 10, 'inch-pound', 'difference')).toBe('18.0 °F');
    expect(figure('huntingFraction', 0.254, 'si')).toBe('25.4 %');
    expect(figure('huntingFraction', null, 'si')).toBe('–');
    expect(scaleFor('capacity_W', 'si').convert(200_000)).toBe(200);
  });
});
