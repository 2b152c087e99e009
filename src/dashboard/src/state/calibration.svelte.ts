import { api, type Outcome } from '../api/client';
import type { CalibrationState, CalibrationStatus, CalibrationStep, Refusal } from '../api/types';
import { reading } from '../model/calibrationWords';
import { store } from './bench.svelte';

/** The calibration of the connected rig: what it works on, and the one under way. */
class CalibrationStore {
  status = $state.raw<CalibrationStatus | null>(null);
  refusals = $state.raw<Refusal[]>([]);
  busy = $state(false);
  kept = $state.raw<CalibrationState | null>(null);

  readonly current = $derived.by<CalibrationStep | null>(() => {
    const procedure = this.status?.procedure;
    return procedure?.allSteps.find((s) => s.id === procedure.current) ?? null;
  });

  async refresh(): Promise<void> {
    const answer = await api.calibration();
    if (answer.ok) this.status = answer.value;
    else this.refusals = answer.refusals;
  }

  begin(body: unknown): Promise<boolean> {
    this.kept = null;
    return this.act(() => api.beginCalibration(body));
  }

  hold(step: string): Promise<boolean> {
    return this.act(() => api.calibrate('hold', { step }));
  }

  /** Without a value the practice meter of the simulated rig reads. */
  take(step: string, text: string | null): Promise<boolean> {
    if (text === null) return this.act(() => api.calibrate('readings', { step }));
    const value = reading(text);
    if (value === null) {
      this.refusals = [{ code: 'not-a-number', path: '/value', asked: text.trim() === '' ? 'no reading was given' : `"${text}" was given`, allowed: 'a number is needed', remedy: 'Type what the meter shows, with its sign.' }];
      return Promise.resolve(false);
    }
    return this.act(() => api.calibrate('readings', { step, value }));
  }

  /** Holds and reads with the practice meter until the review, then from there to the end. */
  async practise(): Promise<void> {
    for (let step = this.current; step !== null && step.kind !== 'store' && step.kind !== 'review'; step = this.current) {
      if (step.holds && !(await this.hold(step.id))) return;
      if (!(await this.take(step.id, null))) return;
    }
  }

  accept(): Promise<boolean> {
    return this.act(() => api.calibrate('accept'));
  }

  redo(step: string): Promise<boolean> {
    return this.act(() => api.calibrate('redo', { step }));
  }

  leaveOutPositive(): Promise<boolean> {
    return this.act(() => api.calibrate('leave-out-positive'));
  }

  abandon(): Promise<boolean> {
    return this.act(() => api.abandonCalibration());
  }

  async keep(): Promise<void> {
    this.busy = true;
    const answer = await api.keepCalibration();
    this.busy = false;
    this.refusals = answer.ok ? [] : answer.refusals;
    if (!answer.ok) return;
    this.kept = answer.value;
    await Promise.all([this.refresh(), store.refresh()]);
  }

  private async act(ask: () => Promise<Outcome<CalibrationStatus>>): Promise<boolean> {
    this.busy = true;
    try {
      const answer = await ask();
      this.refusals = answer.ok ? [] : answer.refusals;
      if (answer.ok) this.status = answer.value;
      return answer.ok;
    } finally {
      this.busy = false;
    }
  }
}

export const calibration = new CalibrationStore();
