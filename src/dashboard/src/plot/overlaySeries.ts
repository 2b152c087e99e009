import uPlot from 'uplot';
import type { Quantity } from '../model/liveRun';
import { passWords } from '../model/passes';
import type { SavedCurve } from '../model/savedCurves';
import { shapes, type Shape } from './marks';
import type { PlotSeries } from './series';

export interface OverlaidCurve {
  key: string;
  curve: SavedCurve;
  place: number;
  shape: Shape;
  token: string;
  /** For the reading table and the end of the curve. */
  title: string;
  /** At the end of the curve: short, yet told from the others. */
  label: string;
}

interface Source {
  run: { id: string; tube: { label: string }; connection: string };
  place: number;
  curves: SavedCurve[];
}

/** Curves of a run that are drawn; more would be a grey field. */
export const curvesDrawn = 16;

export function overlaidCurves(sources: readonly Source[]): OverlaidCurve[] {
  const alike = (label: string): boolean => sources.filter((s) => s.run.tube.label === label).length > 1;
  return sources.flatMap(({ run, place, curves }) => curves.slice(0, curvesDrawn).map((curve) => ({
    key: `${run.id}/${curve.pass.index}`, curve, place, shape: shapes[place % shapes.length]!, token: `run-${place % shapes.length}`,
    title: curves.length === 1 ? `${run.tube.label} ${run.connection}` : `${run.tube.label} ${run.connection}, ${passWords(curve.pass, curves.map((c) => c.pass))}`,
    label: alike(run.tube.label) ? `${run.tube.label} ${run.connection}` : run.tube.label,
  })));
}

/** One drive column for all: where a curve has no point of its own the value is undefined, which is not a gap. */
export function joined(curves: readonly OverlaidCurve[], quantity: Quantity): { drive: number[]; series: PlotSeries[] } {
  if (curves.length === 0) return { drive: [], series: [] };
  const [drive, ...values] = uPlot.join(curves.map((c) => [c.curve.drive, c.curve.columns[quantity]] as uPlot.AlignedData));
  const labelled = new Set<number>();
  const series = curves.map((c, i): PlotSeries => {
    const first = !labelled.has(c.place);
    labelled.add(c.place);
    return {
      values: values[i] as (number | null | undefined)[], token: c.token, shape: c.shape, dashed: c.curve.pass.direction === 'down', faint: false,
      label: first ? c.label : '', end: 'right',
    };
  });
  return { drive: drive as number[], series };
}
