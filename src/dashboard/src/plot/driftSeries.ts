import type { Drift } from '../api/types';
import type { Plotted } from './fitSeries';
import type { Band, PlotMark, PlotSeries } from './series';
import { widened } from './lotSeries';

/**
 * Control charts of one quantity: values in the order in which they were measured, each with its expanded uncertainty, the mean and the limits of single
 * values, and the weighted average with its own.
 */
export function driftSeries(drift: Drift, scale: number): Plotted & { bands: Band[]; marks: PlotMark[]; yRange: [number, number] } {
  const n = drift.points.length;
  const drive = drift.points.map((_, i) => i + 1);
  const values = drift.points.map((p) => (p.value.value ?? NaN) / scale);
  const line = { dashed: false, faint: false, end: 'right' as const };
  const level = (at: number | null | undefined, label: string, token: string, dashed = true): PlotSeries[] =>
    at === null || at === undefined ? [] : [{ ...line, dashed, values: drive.map(() => at / scale), token, shape: 'bar', label, plain: true }];
  const edge = (side: number): PlotSeries => ({
    ...line, token: 'curve-up', shape: 'bar', label: '', edge: true, values: drift.points.map((p, i) => (p.value.expandedUncertainty == null ? null : values[i]! + (side * p.value.expandedUncertainty) / scale)),
  });
  const averages = drift.points.map((p) => (p.average == null ? null : p.average / scale));
  const series: PlotSeries[] = [
    edge(1), edge(-1),
    { ...line, values, token: 'curve-up', shape: 'circle', label: n > 1 ? 'measured' : '' },
    ...level(drift.individuals?.upper, 'upper', 'ink-soft'), ...level(drift.individuals?.centre, 'mean', 'ink-soft', false), ...level(drift.individuals?.lower, 'lower', 'ink-soft'),
    ...(averages.some((a) => a !== null) ? [{ ...line, values: averages, token: 'curve-plate', shape: 'diamond' as const, label: 'average', dashed: true }] : []),
  ];
  const all = series.flatMap((s) => [...s.values]).filter((v): v is number => v !== null && v !== undefined && Number.isFinite(v));
  const marks = drift.points.flatMap((p, i): PlotMark[] => (p.flags.length === 0 ? [] : [{ x: i + 1, y: values[i]!, label: p.flags.join(', '), shape: 'square' }]));
  return { drive, series, bands: [[0, 1]], marks, yRange: all.length === 0 ? [0, 1] : widened([Math.min(...all), Math.max(...all)]) };
}
