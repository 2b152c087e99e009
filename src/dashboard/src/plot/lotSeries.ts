import type { LotFigures } from '../api/types';
import type { PlotMark, PlotSeries } from './series';
import { shapes, type Shape } from './marks';

export interface Histogram { start: number; width: number; counts: readonly number[] }

/** A histogram as one stepped line over its floor, with the space between tinted. `scale` turns the unit of the data into that of the axis. */
export function histogramSeries(histogram: Histogram, scale: number): { drive: number[]; series: PlotSeries[]; xRange: [number, number]; highest: number } {
  const drive: number[] = [];
  const top: number[] = [];
  const { start, width, counts } = histogram;
  // Both ends of a bin stand just within it, so that no two points have the same place.
  const inset = width * 1e-6;
  counts.forEach((count, i) => {
    drive.push((start + i * width + inset) / scale, (start + (i + 1) * width - inset) / scale);
    top.push(count, count);
  });
  const line = { shape: 'bar' as const, dashed: false, faint: false, label: '', end: 'right' as const, plain: true };
  return {
    drive,
    series: [{ ...line, values: top, token: 'curve-plate' }, { ...line, values: top.map(() => 0), token: 'curve-plate', edge: true }],
    xRange: widened([start / scale, (start + counts.length * width) / scale]),
    highest: Math.max(1, ...counts),
  };
}

export interface Dot { tube: string; grade: string | null; x: number; y: number }

/** Tubes of a lot by two of its figures; tubes that lack one are left out. */
export function dotsOf(figures: LotFigures, xWord: string, yWord: string, scaleX: number, scaleY: number): Dot[] {
  const [i, j] = [xWord, yWord].map((word) => figures.quantities.findIndex((q) => q.word === word)) as [number, number];
  return figures.tubes.flatMap((t) => {
    const [x, y] = [t.figures[i]?.value ?? null, t.figures[j]?.value ?? null];
    return x === null || y === null ? [] : [{ tube: t.tube, grade: t.grade, x: x / scaleX, y: y / scaleY }];
  });
}

/** Shape of each grade, those that there are in the order of their names; tubes without one are rings. */
export function gradeShapes(dots: readonly Dot[]): Map<string, Shape> {
  const names = [...new Set(dots.flatMap((d) => (d.grade === null ? [] : [d.grade])))].sort();
  return new Map(names.map((name, i) => [name, shapes[1 + (i % (shapes.length - 1))]!]));
}

export function scatterMarks(dots: readonly Dot[]): PlotMark[] {
  const byGrade = gradeShapes(dots);
  return dots.map((d) => ({ x: d.x, y: d.y, label: '', shape: d.grade === null ? 'circle' : byGrade.get(d.grade)!, small: true }));
}

/** Room around values, so that none lies on the frame. */
export function widened([low, high]: [number, number]): [number, number] {
  const room = high > low ? (high - low) * 0.06 : Math.max(Math.abs(high) * 0.05, 1e-9);
  return [low - room, high + room];
}

export function rangeOf(values: readonly number[]): [number, number] {
  return values.length === 0 ? [0, 1] : widened([Math.min(...values), Math.max(...values)]);
}

/** The place nearest to where the pointer is, of dots that are told by their x alone. */
export function nearestDot(dots: readonly Dot[], x: number): Dot | null {
  return dots.reduce<Dot | null>((best, d) => (best === null || Math.abs(d.x - x) < Math.abs(best.x - x) ? d : best), null);
}
