import type { Column } from './liveRun';

/**
 * Value of a curve at a drive, on a straight line between the two points around it. Null outside the curve and in a gap: nothing is joined
 * over what was not measured.
 */
export function readingAt(drive: readonly number[], values: Column, at: number): number | null {
  const [below, above] = around(drive, at);
  if (below < 0 || above < 0) return null;
  const y0 = values[below] ?? null;
  const y1 = values[above] ?? null;
  if (below === above) return y0;
  const x0 = drive[below]!;
  const x1 = drive[above]!;
  if (y0 === null || y1 === null) {
    if (at === x0) return y0;
    return at === x1 ? y1 : null;
  }
  return x1 === x0 ? y0 : y0 + ((at - x0) / (x1 - x0)) * (y1 - y0);
}

/** Slot whose drive is nearest, -1 for an empty curve. The drive rises. */
export function nearestSlot(drive: readonly number[], at: number): number {
  const [below, above] = around(drive, at);
  if (below < 0) return above;
  if (above < 0) return below;
  return at - drive[below]! <= drive[above]! - at ? below : above;
}

/** Slots at or below and at or above; -1 where there is none. */
function around(drive: readonly number[], at: number): [number, number] {
  let low = 0;
  let high = drive.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (drive[middle]! < at) low = middle + 1;
    else high = middle;
  }
  if (low < drive.length && drive[low] === at) return [low, low];
  return [low - 1, low < drive.length ? low : -1];
}
