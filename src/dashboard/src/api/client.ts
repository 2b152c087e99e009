import { call } from './call';
import { atRig } from './rig';
import type {
  Bench, Blocks, CalibrationList, CalibrationState, CalibrationStatus, CheckedCalibration, CheckedPlan, Curves, Family, FamilyPrediction, Fit, Health, Laws, Permit, NextSweep, PlanExample, Prediction, PredictionCheck, RigList, Run, RunLevels, RunList, Slopes,
} from './types';

/** Kinds of runs that are listed. */
export type RunsOf = 'all' | 'sweeps' | 'screenings';

export type { Outcome } from './call';

/** Milliseconds. Whoever made safe must hear soon that it did not get through; the rig itself needs a fraction of a second. */
const patienceForSafe = 2_000;

/** A night's run has many curves. */
const patienceForCurves = 60_000;

const run = (id: string) => `/runs/${encodeURIComponent(id)}`;
/** Query of everything that is worked out of a fit. */
const fitted = (others: readonly string[], calibration: string | null, more: Record<string, unknown> = {}): string => {
  const query = new URLSearchParams(others.map((id) => ['with', id]));
  if (calibration !== null) query.set('calibration', calibration);
  for (const [name, value] of Object.entries(more)) query.set(name, String(value));
  const text = query.toString();
  return text === '' ? '' : `?${text}`;
};
const by = (calibration: string | null) => (calibration === null ? '' : `?calibration=${encodeURIComponent(calibration)}`);

export const api = {
  bench: () => call<Bench>('GET', atRig('/bench')),
  rigs: () => call<RigList>('GET', '/rigs'),
  /** All rigs of the service. */
  makeSafe: (reason: string) => call<Bench>('POST', '/bench/safe', { body: { reason }, within: patienceForSafe }),
  acknowledge: () => call<Bench>('POST', atRig('/bench/acknowledge')),
  stop: () => call<Bench>('POST', atRig('/bench/stop')),
  heater: (on: boolean, volts: number | null) => call<Bench>('POST', atRig('/bench/heater'), { body: { on, volts } }),
  permit: (ceilingVolts: unknown, durationSeconds: unknown, reason: string) =>
    call<Permit>('POST', atRig('/bench/permit'), { body: { ceilingVolts, durationSeconds, reason } }),
  endPermit: () => call<Bench>('DELETE', atRig('/bench/permit')),
  examples: () => call<PlanExample[]>('GET', '/plans/examples'),
  check: (plan: unknown, tube: unknown, socket: unknown, signal: AbortSignal) =>
    call<CheckedPlan>('POST', atRig('/plans/check'), { body: { plan, tube, socket }, signal }),
  start: (plan: unknown, tube: unknown, socket: unknown) => call<Run>('POST', atRig('/runs'), { body: { plan, tube, socket } }),
  runs: (limit: number, olderThan: string | null, only: RunsOf = 'all') =>
    call<RunList>('GET', `/runs?limit=${limit}${olderThan === null ? '' : `&olderThan=${encodeURIComponent(olderThan)}`}${only === 'all' ? '' : `&only=${only}`}`),
  run: (id: string) => call<Run>('GET', run(id)),
  /** With a calibration: volts are derived with it, not with the one that the run was measured with. */
  curves: (id: string, calibration: string | null) => call<Curves>('GET', `${run(id)}/curves${by(calibration)}`, { within: patienceForCurves }),
  levels: (id: string, calibration: string | null = null) => call<RunLevels>('GET', `${run(id)}/levels${by(calibration)}`, { within: patienceForCurves }),
  fit: (id: string, others: readonly string[], calibration: string | null, signal: AbortSignal) =>
    call<Fit>('GET', `${run(id)}/fit${fitted(others, calibration)}`, { signal, within: patienceForCurves }),
  laws: (id: string, others: readonly string[], calibration: string | null, signal: AbortSignal) =>
    call<Laws>('GET', `${run(id)}/laws${fitted(others, calibration)}`, { signal, within: patienceForCurves }),
  prediction: (id: string, others: readonly string[], calibration: string | null, plateResistorOhms: unknown, plateRailVolts: unknown, signal: AbortSignal) =>
    call<Prediction>('GET', `${run(id)}/prediction${fitted(others, calibration, { plateResistorOhms, plateRailVolts })}`, { signal, within: patienceForCurves }),
  checkPrediction: (id: string, others: readonly string[], calibration: string | null, measured: string, signal: AbortSignal) =>
    call<PredictionCheck>('GET', `${run(id)}/prediction/check${fitted(others, calibration, { run: measured })}`, { signal, within: patienceForCurves }),
  /** Levels with what each uncertainty is made of. */
  budgets: (id: string, calibration: string | null, signal: AbortSignal) =>
    call<RunLevels>('GET', `${run(id)}/levels${fitted([], calibration, { budget: true })}`, { signal, within: patienceForCurves }),
  slopes: (id: string, others: readonly string[], calibration: string | null, signal: AbortSignal) => call<Slopes>('GET', `${run(id)}/slopes${fitted(others, calibration)}`, { signal }),
  nextSweep: (id: string, others: readonly string[], calibration: string | null, wanted: string, signal: AbortSignal) =>
    call<NextSweep>('GET', `${run(id)}/next-sweep${fitted(others, calibration, { wanted })}`, { signal, within: patienceForCurves }),
  family: (id: string, others: readonly string[], calibration: string | null, signal: AbortSignal) =>
    call<Family>('GET', `${run(id)}/family${fitted(others, calibration)}`, { signal, within: patienceForCurves }),
  /** With `measured` an id: the run that the load line is held against. */
  familyPrediction: (id: string, others: readonly string[], calibration: string | null, plateResistorOhms: unknown, plateRailVolts: unknown, measured: string, signal: AbortSignal) =>
    call<FamilyPrediction>('GET', `${run(id)}/family/prediction${fitted(others, calibration, { plateResistorOhms, plateRailVolts, ...(measured === '' ? {} : { run: measured }) })}`, { signal, within: patienceForCurves }),
  blocks: (id: string, from: number) => call<Blocks>('GET', `${run(id)}/blocks?from=${from}`),
  calibration: () => call<CalibrationStatus>('GET', atRig('/calibration')),
  beginCalibration: (body: unknown) => call<CalibrationStatus>('POST', atRig('/calibration'), { body }),
  abandonCalibration: () => call<CalibrationStatus>('DELETE', atRig('/calibration')),
  /** An act upon the calibration under way. */
  calibrate: (what: 'hold' | 'readings' | 'accept' | 'redo' | 'leave-out-positive', body?: unknown) => call<CalibrationStatus>('POST', atRig(`/calibration/${what}`), { body }),
  keepCalibration: () => call<CalibrationState>('POST', atRig('/calibration/keep')),
  calibrations: () => call<CalibrationList>('GET', '/calibrations'),
  /** The text of a document as it stands in its file. */
  checkCalibration: (calibration: string) => call<CheckedCalibration>('POST', atRig('/calibrations/check'), { body: { calibration } }),
  importCalibration: (calibration: string) => call<CalibrationState>('POST', atRig('/calibrations'), { body: { calibration } }),
  calibrationAddress: (id: string) => `/api/calibrations/${encodeURIComponent(id)}`,
  health: (id: string, calibration: string | null, signal: AbortSignal) => call<Health>('GET', `${run(id)}/health${by(calibration)}`, { signal, within: patienceForCurves }),
  spiceAddress: (id: string, others: readonly string[], calibration: string | null) => `/api${run(id)}/tube.cir${fitted(others, calibration)}`,
  csvAddress: (id: string, calibration: string | null) => `/api${run(id)}/export.csv${by(calibration)}`,
  reportAddress: (id: string, kind: 'html' | 'pdf', calibration: string | null) => `/api${run(id)}/report.${kind}${by(calibration)}`,
};
