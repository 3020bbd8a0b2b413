import { describe, expect, it } from 'vitest';
import { plainTheme } from '../../theme.js';
import { band, line, stretches } from '../../parts.js';
import type { Timeline } from '../option.js';
import { paintPanel, panelEdge } from './paint-panel.js';

/** Writes down what is painted: each path with what became of it. */
function recorder() {
  const painted: string[] = [];
  let path: string[] = [];
  let dash: number[] = [];
  const canvas = {
    fillStyle: '',
    strokeStyle: '',
    lineWidth: 0,
    globalAlpha: 1,
    beginPath: () => {
      path = [];
    },
    moveTo: (x: number, y: number) => path.push(`M${x} ${y}`),
    lineTo: (x: number, y: number) => path.push(`L${x} ${y}`),
    closePath: () => path.push('Z'),
    setLineDash: (next: number[]) => {
      dash = next;
    },
    fillRect: (x: number, y: number, width: number, height: number) =>
      painted.push(`${canvas.fillStyle} rect ${x} ${y} ${width} ${height}`),
    fill: () => painted.push(`${canvas.fillStyle} ${canvas.globalAlpha} fill ${path.join('')}`),
    stroke: () => painted.push(`${canvas.strokeStyle} ${canvas.lineWidth} [${dash}] ${path.join('')}`),
  };
  return { painted, canvas: canvas as unknown as CanvasRenderingContext2D };
}

// 120 px high, so that a percent is 1.2 px.
const panel = 1;
const nothing = { title: '', unit: '', legend: [], limit: null, scale: { min: 0, max: 1, interval: 1 } };
const opening = { ...nothing, scale: { min: 0, max: 100, interval: 25 } };
const chart = (lines: Timeline['lines']): Timeline => ({
  lines,
  panels: [nothing, opening, nothing, nothing],
  narrow: false,
});
const window = { from: 0, to: 10, width: 100 };
const paint = (lines: Timeline['lines']) => {
  const { painted, canvas } = recorder();
  paintPanel(canvas, chart(lines), panel, window);
  return painted;
};

describe('a painted panel', () => {
  it('has each reading at its time and value, and a break where the readings are silent', () => {
    const data: [number, number | null][] = [
      [0, 0],
      [5, 50],
      [6, null],
      [8, 100],
      [10, 25],
    ];
    const [top, bottom] = [panelEdge, panelEdge + 120];
    expect(paint([line('opening', data, { color: 'red', width: 1.8, panel })])).toEqual([
      `red 1.8 [] M0 ${bottom}L50 ${bottom - 60}M80 ${top}L100 ${bottom - 30}`,
    ]);
  });
  it('holds what is sent on change until the next value, dashed', () => {
    const data: [number, number][] = [
      [0, 0],
      [5, 100],
    ];
    const [top, bottom] = [panelEdge, panelEdge + 120];
    expect(paint([line('setpoint', data, { color: 'red', panel, step: true, dashed: true })])).toEqual([
      `red 1.5 [5,4] M0 ${bottom}L50 ${bottom}L50 ${top}`,
    ]);
  });
  it('fills a band between its edges and strokes neither', () => {
    const bottom = panelEdge + 120;
    const low: [number, number][] = [
      [0, 0],
      [10, 50],
    ];
    const high: [number, number][] = [
      [0, 100],
      [10, 100],
    ];
    expect(paint(band('b', low, high, 'grey', panel, 0.5))).toEqual([
      `grey 0.5 fill M0 ${panelEdge}L100 ${panelEdge}L100 ${bottom - 60}L0 ${bottom}Z`,
    ]);
  });
  it('shades a loss of mains under its lines, and shows nothing of other panels', () => {
    const shaded = line('opening', [[0, 0]], { color: 'red', panel });
    shaded.markArea = stretches(plainTheme, [{ from: 2, to: 5 }], 'yellow');
    const painted = paint([line('elsewhere', [[0, 0]], { color: 'blue', panel: 0 }), shaded]);
    expect(painted[0]).toBe(`yellow rect 20 ${panelEdge} 30 120`);
    expect(painted.slice(1).join()).not.toContain('blue');
  });
});
