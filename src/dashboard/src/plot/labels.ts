import type uPlot from 'uplot';
import { drawShape } from './marks';
import type { PlotMark, PlotSeries } from './series';

const textSize = 12;
const family = '"Avenir Next", "Segoe UI", "Helvetica Neue", "Noto Sans", "DejaVu Sans", sans-serif';

export function font(size: number, ratio: number): string {
  return `${Math.round(size * ratio)}px ${family}`;
}

export interface Box { x: number; y: number; w: number; h: number }

/** Shapes along each curve, far enough apart to count them, and on a point that stands alone between gaps. */
export function drawShapes(u: uPlot, series: readonly PlotSeries[], colours: readonly string[], ratio: number): void {
  u.ctx.setLineDash([]);
  const x = u.data[0];
  const slotsPerPixel = x.length / Math.max(1, u.bbox.width);
  series.forEach((s, i) => {
    if (s.edge === true || s.plain === true) return;
    const size = (s.faint ? 5 : 8) * ratio;
    // Each curve begins at another place, so that shapes of curves that lie together do not hide one another.
    let next = Math.ceil((24 + 26 * i) * ratio * slotsPerPixel);
    for (let slot = 0; slot < x.length; slot++) {
      const y = s.values[slot];
      if (y === null || y === undefined) continue;
      const alone = s.values[slot - 1] === null && s.values[slot + 1] === null;
      if (!alone && slot < next) continue;
      if (!alone) next = slot + Math.ceil(76 * ratio * slotsPerPixel);
      drawShape(u.ctx, s.shape, u.valToPos(x[slot]!, 'x', true), u.valToPos(y, 'y', true), size, colours[i]!);
    }
  });
}

/** A word at the end of each curve, pushed apart where curves end together. */
export function drawEndLabels(u: uPlot, series: readonly PlotSeries[], colours: readonly string[], ratio: number, sheet: string): Box[] {
  const labels = series.flatMap((s, i) => {
    const slot = s.label === '' ? -1 : endSlot(s);
    if (slot < 0) return [];
    return [{ s, colour: colours[i]!, x: u.valToPos(u.data[0][slot]!, 'x', true), y: u.valToPos(s.values[slot]!, 'y', true) }];
  });
  const { ctx, bbox } = u;
  const height = textSize * 1.25 * ratio;
  ctx.font = font(textSize, ratio);
  ctx.textBaseline = 'middle';
  ctx.textAlign = 'left';
  const boxes: Box[] = [];
  for (const here of piles(labels, 100 * ratio)) {
    // Up into the padding above the plot, or the word of a curve that runs at the rail would lie on it.
    let floor = bbox.top - 12 * ratio + height / 2;
    for (const l of here) {
      // A curve that ends on the left has its own line to the right of its end: its word goes above.
      if (l.s.end === 'left') l.y -= height;
      l.y = Math.max(l.y, floor);
      floor = l.y + height;
    }
    let ceiling = bbox.top + bbox.height - height / 2;
    for (const l of here.toReversed()) {
      l.y = Math.min(l.y, ceiling);
      ceiling = l.y - height;
    }
    for (const l of here) {
      const shapeSize = l.s.plain === true ? 0 : 8 * ratio;
      const width = ctx.measureText(l.s.label).width + shapeSize * 1.6;
      const x = Math.min(l.x + 8 * ratio, u.ctx.canvas.width - width - 2 * ratio);
      if (l.s.plain !== true) drawShape(ctx, l.s.shape, x + shapeSize / 2, l.y, shapeSize, l.colour);
      // The word of a load line begins among the lines that it crosses.
      if (l.s.plain === true && l.s.end === 'left') {
        ctx.fillStyle = sheet;
        ctx.fillRect(x - 2 * ratio, l.y - height / 2, width + 4 * ratio, height);
      }
      ctx.fillStyle = l.colour;
      ctx.fillText(l.s.label, x + shapeSize * 1.6, l.y + ratio);
      boxes.push({ x, y: l.y - height / 2, w: width, h: height });
    }
  }
  return boxes;
}

/** Levels on the curve, each with its word where it covers no other. */
export function drawMarks(u: uPlot, marks: readonly PlotMark[], series: readonly PlotSeries[], taken: Box[], colours: { ink: string; sheet: string }, ratio: number): void {
  const { ctx, bbox } = u;
  ctx.font = font(11, ratio);
  ctx.textBaseline = 'middle';
  ctx.textAlign = 'left';
  const height = 14 * ratio;
  const placed = [...taken];
  const curves = marks.length === 0 ? [] : curveBoxes(u, series, 3 * ratio);
  for (const mark of marks) {
    const x = u.valToPos(mark.x, 'x', true);
    const y = u.valToPos(mark.y, 'y', true);
    if (mark.small === true) {
      drawShape(ctx, mark.shape, x, y, 7 * ratio, colours.ink);
      continue;
    }
    drawShape(ctx, mark.shape, x, y, 12 * ratio, colours.sheet);
    drawShape(ctx, mark.shape, x, y, 11 * ratio, colours.ink, true);
    if (mark.label === '') continue;
    const width = ctx.measureText(mark.label).width + 4 * ratio;
    const near = 11 * ratio;
    const places: [number, number][] = [];
    for (const rise of [0, -1.2, 1.2, -2.4, 2.4, -3.6, 3.6]) {
      places.push([x + near, y + rise * height], [x - near - width, y + rise * height]);
      if (rise !== 0) places.push([x - width / 2, y + rise * height]);
    }
    const place = places
      .map(([bx, by]) => ({ x: bx, y: by - height / 2, w: width, h: height }))
      .find((box) => box.x > bbox.left && box.x + box.w < bbox.left + bbox.width && box.y > bbox.top && box.y + box.h < bbox.top + bbox.height
        && !placed.some((p) => meet(p, box)) && !curves.some((p) => meet(p, box)));
    placed.push({ x: x - near / 2, y: y - near / 2, w: near, h: near });
    if (place === undefined) continue;
    placed.push(place);
    ctx.fillStyle = colours.ink;
    ctx.fillText(mark.label, place.x + 2 * ratio, place.y + height / 2 + ratio);
  }
}

/** Labels that would lie over one another unless pushed apart: near in x, on the same end. Each pile from the top down. */
function piles<T extends { x: number; y: number; s: PlotSeries }>(labels: readonly T[], width: number): T[][] {
  const groups: T[][] = [];
  for (const label of [...labels].sort((a, b) => a.x - b.x)) {
    const near = groups.find((g) => g[0]!.s.end === label.s.end && label.x - g[0]!.x < width);
    if (near === undefined) groups.push([label]);
    else near.push(label);
  }
  return groups.map((g) => g.sort((a, b) => a.y - b.y));
}

/** Where the curves run, so that no word is written over them. */
function curveBoxes(u: uPlot, series: readonly PlotSeries[], size: number): Box[] {
  const x = u.data[0];
  const stride = Math.max(1, Math.floor(x.length / 400));
  const boxes: Box[] = [];
  for (const s of series) {
    for (let slot = 0; slot < x.length; slot += stride) {
      const y = s.values[slot];
      if (y === null || y === undefined) continue;
      boxes.push({ x: u.valToPos(x[slot]!, 'x', true) - size, y: u.valToPos(y, 'y', true) - size, w: 2 * size, h: 2 * size });
    }
  }
  return boxes;
}

function endSlot(s: PlotSeries): number {
  const there = (v: number | null | undefined): boolean => v !== null && v !== undefined;
  return s.end === 'right' ? s.values.findLastIndex(there) : s.values.findIndex(there);
}

function meet(a: Box, b: Box): boolean {
  return a.x < b.x + b.w && b.x < a.x + a.w && a.y < b.y + b.h && b.y < a.y + a.h;
}
