import type { Curve, Pass } from '../api/types';
import type { Column, Quantity } from './liveRun';

/** A recorded pass for drawing: by rising drive, currents in milliamperes, missing points null. */
export interface SavedCurve {
  readonly pass: Pass;
  readonly drive: number[];
  readonly columns: Record<Quantity, Column>;
  /** Standard uncertainty of each, in the unit of the column. */
  readonly uncertainty: Record<Quantity, Column>;
}

export function savedCurve(curve: Curve): SavedCurve {
  const down = curve.pass.direction === 'down';
  const rising = <T>(column: readonly T[]): T[] => (down ? column.toReversed() : [...column]);
  const milli = (column: Column): Column => rising(column).map((a) => (a === null ? null : a * 1e3));
  return {
    pass: curve.pass,
    drive: filled(rising(curve.drive)),
    columns: {
      plate: rising(curve.plate),
      plateCurrent: milli(curve.plateCurrent),
      screenCurrent: milli(curve.screenCurrent),
      gridCurrent: milli(curve.gridCurrent),
    },
    uncertainty: {
      plate: rising(curve.plateUncertainty),
      plateCurrent: milli(curve.plateCurrentUncertainty),
      screenCurrent: milli(curve.screenCurrentUncertainty),
      gridCurrent: milli(curve.gridCurrentUncertainty),
    },
  };
}

/** An axis needs a place for each point, the missing ones too: evenly between the neighbours. Their values stay null. */
function filled(drive: (number | null)[]): number[] {
  const known = drive.flatMap((d, i) => (d === null ? [] : [{ i, d }]));
  if (known.length === 0) return drive.map((_, i) => i);
  return drive.map((d, i) => {
    if (d !== null) return d;
    const after = known.find((k) => k.i > i);
    const before = known.findLast((k) => k.i < i);
    if (before === undefined) return after!.d;
    if (after === undefined) return before.d;
    return before.d + ((i - before.i) / (after.i - before.i)) * (after.d - before.d);
  });
}
