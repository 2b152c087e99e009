import { api, type Outcome } from '../api/client';
import type { Fit, Health, Laws, Prediction, PredictionCheck, Refusal, Run, RunLevels } from '../api/types';
import { choiceFor } from '../model/calibrationChoice';
import { savedCurve, type SavedCurve } from '../model/savedCurves';
import { runs } from './runs.svelte';

/** Something asked of the service: the newest answer stands until the next has come, so that nothing jumps meanwhile. */
export class Asked<T> {
  value = $state.raw<T | null>(null);
  refusals = $state.raw<Refusal[]>([]);
  busy = $state(false);

  private under: AbortController | null = null;

  async ask(question: (signal: AbortSignal) => Promise<Outcome<T>>): Promise<void> {
    this.under?.abort();
    const own = new AbortController();
    this.under = own;
    this.busy = true;
    try {
      const answer = await question(own.signal);
      if (own.signal.aborted) return;
      this.value = answer.ok ? answer.value : null;
      this.refusals = answer.ok ? [] : answer.refusals;
    } catch {
      // A newer question is under way.
    } finally {
      if (this.under === own) this.busy = false;
    }
  }

  clear(): void {
    this.under?.abort();
    this.under = null;
    this.value = null;
    this.refusals = [];
    this.busy = false;
  }
}

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
    const [list] = await Promise.all([api.runs(500, null), runs.fetched ? null : runs.refresh()]);
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
  }

  /** The choice of the Runs screen, where it fits this run's rig. */
  get calibration(): string | null {
    return this.run === null ? null : choiceFor(runs.by, this.run.rigSerialNumber, runs.calibrations).query;
  }
}

export const looked = new RunStore();
