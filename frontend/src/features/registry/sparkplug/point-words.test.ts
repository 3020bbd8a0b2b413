import { describe, expect, it } from 'vitest';
import type { SparkplugMetric, UnitPoint, UnitPoints } from '../../../api/registry/sparkplug.js';
import { choicesOf, nodeWords, pointsOf, quantityKey, quantityWords } from './point-words.js';

const pressure = { stream: 'circuits', number: 1, quantity: 'suction-pressure' } as const;
const flow = { stream: 'water', number: null, quantity: 'flow' } as const;
const node = { group: 'Site A', edge: 'gateway-1', device: 'Chiller' };
const quantities: UnitPoints['quantities'] = [
  { ...pressure, units: ['kPa', 'bar', 'psi'] },
  { ...flow, units: ['m3/h', 'gpm'] },
];
const metric = (name: string, guess: SparkplugMetric['guess']): SparkplugMetric => ({
  ...{ name, guess, type: 'Double', unit: null, value: 1 },
});
const point: UnitPoint = { ...node, metric: 'SP', ...pressure, unit: 'psi', scale: 0.1 };

it('quantities and edge nodes are said in words', () => {
  expect(quantityWords(pressure)).toBe('circuit 1: suction pressure');
  expect(quantityWords(flow)).toBe('water: flow');
  expect(nodeWords({ ...node, device: '' })).toBe('Site A / gateway-1');
});

describe('the form', () => {
  it('opens with what is registered, else with guesses, each quantity once', () => {
    expect(choicesOf({ points: [point], quantities }, node, [])).toEqual({
      SP: { quantity: quantityKey(pressure), unit: 'psi', scale: '0.1' },
    });
    const guessed = [
      metric('SP', { ...pressure, unit: 'psi' }),
      metric('SP 2', { ...pressure, unit: 'bar' }),
      metric('Flow', { ...flow, unit: null }),
      metric('Text', null),
    ];
    expect(choicesOf({ points: [], quantities }, node, guessed)).toEqual({
      SP: { quantity: quantityKey(pressure), unit: 'psi', scale: '' },
      Flow: { quantity: quantityKey(flow), unit: '', scale: '' },
    });
  });

  it('gives all points of the unit, those of other edge nodes as they were', () => {
    const other = { ...point, edge: 'gateway-2', ...flow, metric: 'F', unit: 'gpm', scale: 1 };
    const choices = {
      SP: { quantity: quantityKey(pressure), unit: 'bar', scale: '0,01' },
      X: { quantity: '', unit: '', scale: '' },
    };
    expect(pointsOf({ points: [point, other], quantities }, node, choices)).toEqual([
      other,
      { ...point, unit: 'bar', scale: 0.01 },
    ]);
  });

  it('says what is missing or doubled', () => {
    const chosen = { quantity: quantityKey(pressure), unit: '', scale: '' };
    const both = { ...chosen, unit: 'bar' };
    expect(pointsOf({ points: [], quantities }, node, { SP: chosen })).toBe('In which unit is SP sent?');
    expect(pointsOf({ points: [], quantities }, node, { SP: both, SP2: both })).toMatch(/is both SP and SP2/);
    expect(pointsOf({ points: [], quantities }, node, { SP: { ...both, scale: 'x' } })).toMatch(/no number/);
  });
});
