import { describe, expect, it } from 'vitest';
import { decimalMarkOf, readNumber, textsInColumn, type DecimalMark } from './log-numbers.js';

describe('a number of a log', () => {
  it.each<[string, DecimalMark, number]>([
    ['12.5', '.', 12.5],
    ['12,5', ',', 12.5],
    [' 12.5 ', '.', 12.5],
    ['-0.5', '.', -0.5],
    ['+3', '.', 3],
    ['.5', '.', 0.5],
    ['5.', '.', 5],
    ['\u22124.2', '.', -4.2],
    ['1.2e3', '.', 1200],
    ['1,2E3', ',', 1200],
    ['1,234', '.', 1234],
    ['1.234', ',', 1234],
    ['1.234', '.', 1.234],
    ['1,234', ',', 1.234],
    ['1,234.5', '.', 1234.5],
    ['1.234,5', ',', 1234.5],
    ['1 234,5', ',', 1234.5],
    ['1\u00a0234,5', ',', 1234.5],
    ["1'234.5", '.', 1234.5],
    ['1,234,567', '.', 1_234_567],
    ['45 %', '.', 45],
    ['45%', '.', 45],
  ])('"%s" with the mark "%s" is %d', (text, mark, value) => {
    expect(readNumber(text, mark)).toBe(value);
  });

  it.each([
    '',
    ' ',
    '---',
    'Bad',
    'NaN',
    'nan',
    'null',
    'N/A',
    '#N/A',
    'Infinity',
    '0x10',
    '1.2.3',
    '12:30',
    '1e',
  ])('"%s" is none', (text) => {
    expect(readNumber(text, '.')).toBeNaN();
  });
});

describe('the decimal mark of a log', () => {
  it.each<[string[], DecimalMark]>([
    [['1', '2.5'], '.'],
    [['1', '2,5'], ','],
    [['1,234.5'], '.'],
    [['1.234,5'], ','],
    [['0,125'], ','],
    [['1,234', '1.5'], '.'],
    [['Bad', '12,25'], ','],
    [['1', '2'], '.'],
  ])('of %j is "%s"', (cells, mark) => {
    expect(decimalMarkOf([cells], mark === ',' ? '.' : ',')).toBe(mark);
  });

  it('is what is given where thousands and fractions look the same', () => {
    expect(decimalMarkOf([['1,234']], ',')).toBe(',');
    expect(decimalMarkOf([['1,234']], '.')).toBe('.');
  });
});

describe('texts where numbers are meant', () => {
  it('are counted by word, gaps are not', () => {
    expect(textsInColumn(['1', 'Bad', '', 'Bad', '---', 2], '.')).toEqual({
      cells: 3,
      words: [
        { word: 'Bad', count: 2 },
        { word: '---', count: 1 },
      ],
    });
  });
});
