import type { MarginMap } from '../api/types';

/** Edges of the fields around points of a side: half way between them, and as far beyond the ends. */
export function edges(points: readonly number[]): number[] {
  const [first, last] = [points[0]!, points.at(-1)!];
  const between = points.slice(1).map((p, i) => 0.5 * (points[i]! + p));
  return [first - (between[0]! - first), ...between, last + (last - between.at(-1)!)];
}

/** Round ticks within a span, seven or so. */
export function ticksWithin(low: number, high: number): number[] {
  const step = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20].find((s) => (high - low) / s <= 8) ?? 20;
  const first = Math.ceil(low / step - 1e-9);
  return Array.from({ length: Math.max(0, Math.floor(high / step + 1e-9) - first + 1) }, (_, i) => Number(((first + i) * step).toFixed(6)));
}

export interface MapField { row: number; column: number; x: [number, number]; y: [number, number]; margin: number; works: boolean; share: number }

/** A field around each point of the map, with its margin as a share of the greatest. */
export function fields(map: MarginMap): MapField[] {
  const [x, y] = [edges(map.plateVolts), edges(map.otherVolts)];
  const most = Math.max(1e-9, ...map.marginVolts.flat());
  return map.marginVolts.flatMap((margins, row) => margins.map((margin, column) => ({
    row, column, x: [x[column]!, x[column + 1]!] as [number, number], y: [y[row]!, y[row + 1]!] as [number, number], margin, works: margin >= map.limitVolts, share: margin / most,
  })));
}

/** The place of a value among rising points. */
export const nearest = (points: readonly number[], value: number): number => points.reduce((best, p, i) => (Math.abs(p - value) < Math.abs(points[best]! - value) ? i : best), 0);

export const otherName = (map: MarginMap): string => (map.against === 'bias' ? 'Bias rail' : 'Supply of the screens');
