import uPlot from 'uplot';
import type { FittedPass, Prediction, PredictionCheck } from '../api/types';
import type { Column, Quantity } from '../model/liveRun';
import { passWords } from '../model/passes';
import type { SavedCurve } from '../model/savedCurves';
import { curvesDrawn } from './overlaySeries';
import type { Band, PlotMark, PlotSeries } from './series';

export interface Plotted {
  drive: number[];
  series: PlotSeries[];
}

export type ResidualOf = 'residual' | 'gridResidual' | 'screenResidual';

export interface Part extends Omit<PlotSeries, 'values'> {
  drive: number[];
  values: Column;
}

/** Standard uncertainties to either side of a curve that are tinted, for 95 % (JCGM 100:2008, 6.3.3). */
export const bandFactor = 2;

/** Measured curves with their uncertainty, and over them, where there is a fit, the output that it gives. */
export function curvesWithFit(curves: readonly SavedCurve[], fitted: readonly FittedPass[], quantity: Quantity): Plotted & { bands: Band[] } {
  const shown = curves.slice(0, curvesDrawn);
  const all = curves.map((c) => c.pass);
  const bands: Band[] = [];
  const parts: Part[] = [];
  for (const curve of shown) {
    const up = curve.pass.direction === 'up';
    const fit = quantity === 'plate' ? fitted.find((f) => f.pass.index === curve.pass.index) : undefined;
    const token = up ? 'curve-up' : 'curve-down';
    for (const side of [1, -1]) {
      const values = curve.columns[quantity].map((v, i) => {
        const u = curve.uncertainty[quantity][i] ?? null;
        return v === null || u === null ? null : v + side * bandFactor * u;
      });
      parts.push({ drive: curve.drive, values, token, shape: 'bar', dashed: false, faint: true, label: '', end: 'right', edge: true });
    }
    bands.push([parts.length - 2, parts.length - 1]);
    parts.push(
      { drive: curve.drive, values: curve.columns[quantity], token, shape: up ? 'up' : 'down', dashed: !up, faint: false, label: passWords(curve.pass, all), end: up ? 'right' : 'left' },
      ...(fit === undefined ? [] : [{
        drive: curve.drive, values: rising(fit.fitted, fit.pass.direction), token: 'curve-plate', shape: 'cross' as const, dashed: true, faint: false,
        label: curve === shown[0] ? 'fitted' : '', end: 'right' as const,
      }]),
    );
  }
  return { ...join(parts), bands };
}

/** Measured less fitted, millivolts, with twice the scatter of a single reading to both sides. */
export function residuals(curves: readonly SavedCurve[], fitted: readonly FittedPass[], of: ResidualOf): Plotted & { marks: PlotMark[]; greatest: number } {
  let greatest = 0;
  const marks: PlotMark[] = [];
  const parts = curves.slice(0, curvesDrawn).flatMap((curve): Part[] => {
    const fit = fitted.find((f) => f.pass.index === curve.pass.index);
    if (fit === undefined) return [];
    const up = curve.pass.direction === 'up';
    const values = milli(rising(fit[of], fit.pass.direction));
    for (const v of values) if (v !== null) greatest = Math.max(greatest, Math.abs(v));
    if (of === 'residual') {
      for (const slot of fit.wild) {
        const at = fit.pass.direction === 'down' ? values.length - 1 - slot : slot;
        const y = values[at];
        if (y !== null && y !== undefined) marks.push({ x: curve.drive[at]!, y, label: 'left out', shape: 'cross' });
      }
    }
    return [{
      drive: curve.drive, values, token: up ? 'curve-up' : 'curve-down', shape: up ? 'up' : 'down', dashed: !up, faint: false,
      label: passWords(curve.pass, curves.map((c) => c.pass)), end: up ? 'right' : 'left',
    }];
  });
  const widest = curves[0];
  const scatter = fitted[0]?.scatterVolts;
  if (of === 'residual' && widest !== undefined && scatter !== undefined && parts.length > 0) {
    for (const side of [2, -2]) {
      parts.push({
        drive: widest.drive, values: widest.drive.map(() => side * scatter * 1e3), token: 'ink-soft', shape: 'bar', dashed: true, faint: true,
        label: side === 2 ? '2 × scatter' : '', end: 'right',
      });
    }
    greatest = Math.max(greatest, 2.2 * scatter * 1e3);
  }
  return { ...join(parts), marks, greatest };
}

/** The predicted output, and a measured one over it where there is one. */
export function predictedOutput(prediction: Prediction, check: PredictionCheck | null): Plotted {
  return join([
    { drive: prediction.drive, values: prediction.plate, token: 'curve-plate', shape: 'circle', dashed: false, faint: false, label: 'predicted', end: 'right' },
    ...measuredParts(check, (pass) => pass.measured),
  ]);
}

/** Where a curve would have to run to contradict the prediction, and how far a measured one lies from it, millivolts. */
export function deviations(prediction: Prediction, check: PredictionCheck | null): Plotted & { greatest: number } {
  const edge = (side: number): Part => {
    const first = check?.passes[0];
    const [drive, u] = first === undefined || check === null
      ? [prediction.drive, prediction.uncertainty.map((v) => prediction.coverageFactor * Math.hypot(v, prediction.scatterVolts))]
      : [rising(first.drive, first.pass.direction), rising(first.uncertainty, first.pass.direction).map((v) => check.coverageFactor * v)];
    return {
      drive, values: u.map((v) => side * v * 1e3), token: 'curve-plate', shape: 'bar', dashed: false, faint: true, label: side > 0 ? 'stated' : '', end: 'right',
    };
  };
  const parts = [edge(1), edge(-1), ...measuredParts(check, (pass) => pass.measured.map((m, i) => (m - pass.predicted[i]!) * 1e3))];
  let greatest = 0;
  for (const part of parts) for (const v of part.values) if (v !== null) greatest = Math.max(greatest, Math.abs(v));
  return { ...join(parts), greatest };
}

/** Measured passes that a prediction was held against. */
export function measuredParts(check: PredictionCheck | null, values: (pass: PredictionCheck['passes'][number]) => number[]): Part[] {
  return (check?.passes ?? []).slice(0, curvesDrawn).map((pass): Part => {
    const up = pass.pass.direction === 'up';
    return {
      drive: rising(pass.drive, pass.pass.direction), values: rising(values(pass), pass.pass.direction), token: up ? 'curve-up' : 'curve-down', shape: up ? 'up' : 'down',
      dashed: !up, faint: false, label: check!.passes.length > 1 ? `measured, ${pass.pass.direction}` : 'measured', end: up ? 'right' : 'left',
    };
  });
}

/** One column across for all: where a curve has no point of its own the value is undefined, which is no gap. */
export function join(parts: readonly Part[]): Plotted {
  if (parts.length === 0) return { drive: [], series: [] };
  const [drive, ...values] = uPlot.join(parts.map((p) => [p.drive, p.values] as uPlot.AlignedData));
  return {
    drive: drive as number[],
    series: parts.map((p, i) => ({
      values: values[i] as (number | null | undefined)[], token: p.token, shape: p.shape, dashed: p.dashed, faint: p.faint, label: p.label, end: p.end,
      ...(p.edge === true ? { edge: true } : {}), ...(p.plain === true ? { plain: true } : {}),
    })),
  };
}

function rising<T>(column: readonly T[], direction: string): T[] {
  return direction === 'down' ? column.toReversed() : [...column];
}

function milli(column: Column): Column {
  return column.map((v) => (v === null ? null : v * 1e3));
}
