import { api } from '../api/client';
import type { Family, FamilyPrediction, Fit, Health, Laws, NextSweep, Prediction, PredictionCheck, Refusal, Run, RunLevels } from '../api/types';
import { choiceFor } from '../model/calibrationChoice';
import { savedCurve, type SavedCurve } from '../model/savedCurves';
import { Asked } from './asked.svelte';
import { runs } from './runs.svelte';

/** One run looked at closely. */
class RunStore {
  id = $state('');
  run = $state.raw<Run | null>(null);
  curves = $state.raw<SavedCurve[]>([]);
  levels = $state.raw<RunLevels | null>(null);
  refusals = $state.raw<Refusal[]>([]);
  busy = $state(false);
  /** True once the run has been read: what is asked about it can be asked. */
  ready = $state(false);
  /** Ended runs of the same tube, this one left out, the newest first. */
  others = $state.raw<Run[]>([]);
  readonly fit = new Asked<Fit>();
  readonly laws = new Asked<Laws>();
  readonly prediction = new Asked<Prediction>();
  readonly health = new Asked<Health>();
  readonly check = new Asked<PredictionCheck>();
  readonly nextSweep = new Asked<NextSweep>();
  readonly family = new Asked<Family>();
  readonly familyPrediction = new Asked<FamilyPrediction>();

  /** Shows a run; what was shown of another goes. */
  async open(id: string): Promise<void> {
    if (id !== this.id) this.clear();
    this.id = id;
    this.busy = true;
    const run = await api.run(id);
    if (this.id !== id) return;
    if (!run.ok) {
      this.refusals = run.refusals;
      this.busy = false;
      return;
    }
    this.run = run.value;
    const [list] = await Promise.all([api.runs(500, null, 'sweeps'), runs.fetched ? null : runs.refresh()]);
    if (this.id !== id) return;
    if (list.ok) {
      const { label, type } = run.value.tube;
      this.others = list.value.runs.filter((r) => r.id !== id && r.tube.label === label && r.tube.type === type && r.state !== 'running');
    }
    this.ready = true;
    const [curves, levels] = await Promise.all([api.curves(id, this.calibration), api.levels(id, this.calibration)]);
    if (this.id !== id) return;
    this.curves = curves.ok ? curves.value.curves.map(savedCurve) : [];
    this.levels = levels.ok ? levels.value : null;
    this.refusals = curves.ok ? (levels.ok ? [] : levels.refusals) : curves.refusals;
    this.busy = false;
  }

  askFit(others: readonly string[]): Promise<void> {
    return this.fit.ask((signal) => api.fit(this.id, others, this.calibration, signal));
  }

  askLaws(others: readonly string[]): Promise<void> {
    return this.laws.ask((signal) => api.laws(this.id, others, this.calibration, signal));
  }

  askPrediction(others: readonly string[], ohms: unknown, rail: unknown): Promise<void> {
    return this.prediction.ask((signal) => api.prediction(this.id, others, this.calibration, ohms, rail, signal));
  }

  askNextSweep(others: readonly string[], wanted: string): Promise<void> {
    return this.nextSweep.ask((signal) => api.nextSweep(this.id, others, this.calibration, wanted, signal));
  }

  askFamily(others: readonly string[]): Promise<void> {
    return this.family.ask((signal) => api.family(this.id, others, this.calibration, signal));
  }

  askFamilyPrediction(others: readonly string[], ohms: unknown, rail: unknown, measured: string): Promise<void> {
    return this.familyPrediction.ask((signal) => api.familyPrediction(this.id, others, this.calibration, ohms, rail, measured, signal));
  }

  askHealth(): Promise<void> {
    return this.health.ask((signal) => api.health(this.id, this.calibration, signal));
  }

  askCheck(others: readonly string[], measured: string): Promise<void> {
    return this.check.ask((signal) => api.checkPrediction(this.id, others, this.calibration, measured, signal));
  }

  private clear(): void {
    this.run = null;
    this.ready = false;
    this.curves = [];
    this.levels = null;
    this.refusals = [];
    this.others = [];
    this.fit.clear();
    this.laws.clear();
    this.prediction.clear();
    this.check.clear();
    this.health.clear();
    this.nextSweep.clear();
    this.family.clear();
    this.familyPrediction.clear();
  }

  /** The choice of the Runs screen, where it fits this run's rig. */
  get calibration(): string | null {
    return this.run === null ? null : choiceFor(runs.by, this.run.rigSerialNumber, runs.calibrations).query;
  }
}

export const looked = new RunStore();
