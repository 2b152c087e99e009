import type { Stage } from '../api/types';
import type { Band, PlotMark, PlotSeries } from './series';

/** The transfer curve: one line for one tube, the lowest and the highest with the space between tinted for several. */
export function transferSeries(stage: Stage): { series: PlotSeries[]; band: Band | null } {
  const line = { shape: 'circle' as const, dashed: false, faint: false, end: 'right' as const, plain: true };
  const same: PlotSeries = { ...line, values: stage.inputVolts, token: 'ink-soft', label: 'in = out', dashed: true, faint: true };
  if (stage.curves.length === 1) return { series: [{ ...line, values: stage.lowestVolts, token: 'curve-plate', label: 'output' }, same], band: null };
  return {
    series: [
      { ...line, values: stage.highestVolts, token: 'curve-plate', label: 'highest' },
      { ...line, values: stage.lowestVolts, token: 'curve-down', label: 'lowest', dashed: true },
      same,
    ],
    band: [0, 1],
  };
}

/** The output at an input, between the points of a curve. */
export function at(stage: Stage, curve: readonly number[], input: number): number {
  const x = stage.inputVolts;
  const i = Math.min(x.length - 2, Math.max(0, x.findIndex((v) => v > input) - 1));
  const part = (input - x[i]!) / (x[i + 1]! - x[i]!);
  return curve[i]! + part * (curve[i + 1]! - curve[i]!);
}

/** Levels, threshold and points of gain -1 on the curves. */
export function transferMarks(stage: Stage): PlotMark[] {
  const { levels, margins } = stage;
  const marks: PlotMark[] = [];
  const put = (x: number | null, curve: readonly number[], label: string, shape: PlotMark['shape']): void => {
    if (x !== null) marks.push({ x, y: at(stage, curve, x), label, shape });
  };
  put(margins.inputLow, stage.lowestVolts, 'VIL', 'up');
  put(margins.inputHigh, stage.highestVolts, 'VIH', 'down');
  if (levels.restores) {
    put(levels.lowVolts, stage.lowestVolts, 'high', 'square');
    put(levels.highVolts, stage.highestVolts, 'low', 'diamond');
  }
  return marks;
}

export interface Eye { x: number; y: number; side: number }

/** The largest squares of the loop: one in each eye, the second the mirror image of the first. */
export function eyes(stage: Stage): Eye[] {
  const { square, squareInput, squareOutput } = stage.margins;
  return square > 0 ? [{ x: squareInput, y: squareOutput, side: square }, { x: squareOutput, y: squareInput, side: square }] : [];
}

/** Points of the loop as a path, `scale` from volts to the drawing. @param mirrored the stage that is driven by the other */
export function loopPath(stage: Stage, curve: readonly number[], mirrored: boolean, scale: (x: number, y: number) => [number, number]): string {
  return stage.inputVolts.map((v, i) => {
    const [x, y] = mirrored ? scale(curve[i]!, v) : scale(v, curve[i]!);
    return `${i === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`;
  }).join('');
}

/** Round ticks of an axis of volts, six or so. */
export function ticks(highest: number): number[] {
  const step = [0.5, 1, 2, 5, 10, 20].find((s) => highest / s <= 8) ?? 20;
  return Array.from({ length: Math.floor(highest / step + 1e-9) + 1 }, (_, i) => i * step);
}
