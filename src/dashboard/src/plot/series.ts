import type { Column } from '../model/liveRun';
import type { Shape } from './marks';

/** A curve as a plot shows it: a token names the colour, a shape and a dash say the same without colour. */
export interface PlotSeries {
  values: (number | null | undefined)[] | Column;
  token: string;
  shape: Shape;
  dashed: boolean;
  /** An earlier repeat: kept in sight, out of the way. */
  faint: boolean;
  /** Written at the curve's end; empty for none. */
  label: string;
  /** Which end is its last point. */
  end: 'right' | 'left';
  /** An edge of a tinted band: no line, no shape, no word. */
  edge?: boolean;
  /** A line without shapes along it. */
  plain?: boolean;
}

/** Two series, the upper first, with the space between them tinted in the colour of the upper. */
export type Band = [number, number];

/** A level to be marked at a place on the plot. */
export interface PlotMark {
  x: number;
  y: number;
  label: string;
  shape: Shape;
  /** A reading rather than a level. */
  small?: boolean;
}
