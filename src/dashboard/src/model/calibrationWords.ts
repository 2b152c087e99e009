import type { CalibrationState } from '../api/types';

/** `Calibrated`, `Nominal`, `Stale`: one word for a strip or table. */
export function calibrationWord(calibration: CalibrationState): string {
  return { calibrated: 'Calibrated', nominal: 'Nominal', stale: 'Stale' }[calibration.state];
}

/** A sentence that says what figures lean on. */
export function calibrationText(calibration: CalibrationState): string {
  const until = calibration.validUntilUtc?.slice(0, 10) ?? '';
  if (calibration.state === 'nominal') return '△ Nominal values: every figure leans on the design of the rig, not on a measurement of it';
  const made = `${calibration.id}, made ${calibration.madeUtc?.slice(0, 10) ?? ''} with ${calibration.meter}`;
  const positive = calibration.positivePoints ? '' : '; compared up to 0 V of drive';
  return calibration.state === 'stale' ? `△ Stale since ${until}: ${made}${positive}` : `Calibrated until ${until}: ${made}${positive}`;
}

/** What the figures of a run lean on, short enough for a row: state, day, and how far from the run it was made. */
export function calibrationShort(calibration: CalibrationState, startedUtc: string): string {
  if (calibration.state === 'nominal') return '△ Nominal values';
  const made = calibration.madeUtc ?? '';
  const days = Math.round((Date.parse(made) - Date.parse(startedUtc)) / 86_400_000);
  const apart = Number.isNaN(days) || days === 0 ? '' : `, ${Math.abs(days)} ${Math.abs(days) === 1 ? 'day' : 'days'} ${days > 0 ? 'after' : 'before'} the run`;
  return `${calibration.state === 'stale' ? '△ Stale, made' : 'Calibrated'} ${made.slice(0, 10)}${apart}`;
}

/** Empty or not a number gives the text itself, which the service then refuses with words. */
export function reading(text: string): number | null {
  const trimmed = text.trim().replace(',', '.').replace('\u2212', '-');
  return trimmed === '' || Number.isNaN(Number(trimmed)) ? null : Number(trimmed);
}
