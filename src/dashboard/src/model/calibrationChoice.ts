import type { CalibrationItem } from '../api/types';

/** Words of the service for a choice of calibration; anything else is the id of one. */
export const asMeasured = 'as-measured';
export const newest = 'newest';
export const nominal = 'nominal';

export interface AppliedChoice {
  /** For the query `calibration`; null asks for the run as measured. */
  query: string | null;
  /** Why the choice does not hold for this rig; null when it does. */
  because: string | null;
}

/** One choice holds for all runs that are shown; a run of a rig that it does not fit stays as measured and says why. */
export function choiceFor(by: string, rigSerialNumber: string, kept: readonly CalibrationItem[]): AppliedChoice {
  if (by === asMeasured) return { query: null, because: null };
  if (by === nominal) return { query: nominal, because: null };
  if (by === newest) {
    return kept.some((k) => k.rigSerialNumber === rigSerialNumber)
      ? { query: newest, because: null }
      : { query: null, because: `as measured, since rig ${rigSerialNumber} was never calibrated` };
  }
  const found = kept.find((k) => k.calibration.id === by);
  return found === undefined || found.rigSerialNumber === rigSerialNumber
    ? { query: by, because: null }
    : { query: null, because: `as measured, since ${by} is of rig ${found.rigSerialNumber} and this run of ${rigSerialNumber}` };
}

/** What can be chosen by its date, by rig, the newest first. */
export function byRig(kept: readonly CalibrationItem[]): { rig: string; items: CalibrationItem[] }[] {
  const rigs = [...new Set(kept.map((k) => k.rigSerialNumber))].toSorted();
  return rigs.map((rig) => ({ rig, items: kept.filter((k) => k.rigSerialNumber === rig) }));
}
