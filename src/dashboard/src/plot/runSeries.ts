import type { Pass } from '../api/types';
import type { Column, Quantity } from '../model/liveRun';
import { passWords } from '../model/passes';
import type { PlotSeries } from './series';

interface Curve {
  pass: Pass;
  columns: Record<Quantity, Column>;
}

const currents: { quantity: Quantity; token: string; label: string }[] = [
  { quantity: 'plateCurrent', token: 'curve-plate', label: 'plate' },
  { quantity: 'screenCurrent', token: 'curve-screen', label: 'screen' },
  { quantity: 'gridCurrent', token: 'curve-grid', label: 'grid' },
];

/** Only the newest of each direction, or each step of a family, stands out; earlier repeats stay as a veil. */
function stands(curve: Curve, all: readonly Curve[]): boolean {
  return !all.some((c) => c.pass.index > curve.pass.index && c.pass.direction === curve.pass.direction && c.pass.secondSourceVolts === curve.pass.secondSourceVolts);
}

export function outputSeries(curves: readonly Curve[]): PlotSeries[] {
  return curves.map((curve) => {
    const up = curve.pass.direction === 'up';
    const foremost = stands(curve, curves);
    return {
      values: curve.columns.plate, token: up ? 'curve-up' : 'curve-down', shape: up ? 'up' : 'down', dashed: !up, faint: !foremost,
      label: foremost ? passWords(curve.pass, curves.map((c) => c.pass)) : '', end: up ? 'right' : 'left',
    };
  });
}

/** Plate, screen and grid current. Colour tells the electrode, shape and dash the direction. Only the newest up and down pass are drawn. */
export function currentSeries(curves: readonly Curve[], triode: boolean): PlotSeries[] {
  const newest = (direction: string): Curve | undefined => curves.findLast((c) => c.pass.direction === direction);
  const up = newest('up');
  const down = newest('down');
  return [up, down].flatMap((curve) => {
    if (curve === undefined) return [];
    const rising = curve.pass.direction === 'up';
    return currents.filter((c) => !triode || c.quantity !== 'screenCurrent').map((c): PlotSeries => ({
      values: curve.columns[c.quantity], token: c.token, shape: rising ? 'up' : 'down', dashed: !rising, faint: false,
      // Named once, on the right, where the currents part.
      label: rising || up === undefined ? (triode && c.quantity === 'plateCurrent' ? 'plate and screen' : c.label) : '', end: 'right',
    }));
  });
}
