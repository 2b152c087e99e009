import { api } from '../api/client';
import type { CheckedPlan, PlanDocument, PlanExample, Refusal, Tube } from '../api/types';
import { documentOf, formOf, socketOf, tubeOf, type PlanForm, type TubeForm } from '../model/planForm';
import { refusalsByField } from '../model/refusals';
import { store } from './bench.svelte';

/** Fields of the form by the path that a refusal names. */
export const paths = {
  name: '/plan/name', start: '/plan/drive/startVolts', stop: '/plan/drive/stopVolts', points: '/plan/drive/points', direction: '/plan/drive/direction',
  dwell: '/plan/dwellMicroseconds', averaging: '/plan/averaging', conversions: '/plan/averaging/conversions', mainsPeriods: '/plan/averaging/mainsPeriods',
  mainsHertz: '/plan/averaging/mainsHertz', settle: '/plan/settle', settleTolerance: '/plan/settle/toleranceVolts', settleTimeout: '/plan/settle/timeoutMicroseconds',
  repeats: '/plan/repeats', second: '/plan/secondSource', stepSource: '/plan/secondSource/source', stepFrom: '/plan/secondSource/fromVolts',
  stepTo: '/plan/secondSource/toVolts', stepCount: '/plan/secondSource/steps', kind: '/plan/connection/kind', plateRail: '/plan/connection/plateRailVolts',
  biasRail: '/plan/connection/biasRailVolts', heater: '/plan/connection/heaterVolts', plateResistor: '/plan/connection/plateResistorOhms',
  screenResistor: '/plan/connection/screenResistorOhms', gridStopper: '/plan/connection/gridStopperOhms',
  adaptive: '/plan/adaptive', adaptUncertainty: '/plan/adaptive/switchingUncertaintyVolts', adaptFirst: '/plan/adaptive/firstPoints',
  label: '/tube/label', type: '/tube/type', lot: '/tube/lot', socket: '/socket',
} as const;

const kept = 'sweeprig.plan';
const debounce = 250;

class PlanStore {
  examples = $state.raw<PlanExample[]>([]);
  example = $state('');
  form = $state<PlanForm | null>(null);
  tube = $state<TubeForm>({ label: '', type: '', lot: '', socket: '0' });
  check = $state<'none' | 'checking' | 'good' | 'refused'>('none');
  checked = $state.raw<CheckedPlan | null>(null);
  refusals = $state.raw<Refusal[]>([]);
  starting = $state(false);
  /** Address of the prediction that the plan checks; empty for a plan of one's own. */
  checks = $state('');

  byField = $derived(refusalsByField(this.refusals, Object.values(paths)));
  explains = $derived(this.examples.find((e) => e.name === this.example)?.explains ?? '');

  private timer: ReturnType<typeof setTimeout> | undefined;
  private asked: AbortController | null = null;

  async fetch(): Promise<void> {
    if (this.form !== null) return;
    const answer = await api.examples();
    if (!answer.ok) {
      this.refusals = answer.refusals;
      return;
    }
    this.examples = answer.value;
    if (!this.restore() && this.examples[0] !== undefined) this.choose(this.examples[0].name);
  }

  choose(name: string): void {
    const found = this.examples.find((e) => e.name === name);
    if (found === undefined) return;
    this.example = name;
    this.form = formOf(found.plan);
    this.checks = '';
  }

  /** Fills the form in for a tube; starts nothing. */
  take(document: PlanDocument, tube: Tube, socket: number, checks: string): void {
    this.example = '';
    this.form = formOf(document);
    this.tube = { label: tube.label, type: tube.type, lot: tube.lot ?? '', socket: String(socket) };
    this.checks = checks;
    this.keep();
  }

  /** Names the tube to be swept next, with whatever plan the form holds; starts nothing. */
  async nameTube(label: string, type: string, lot: string): Promise<void> {
    await this.fetch();
    this.tube = { ...this.tube, label, type, lot };
    this.keep();
  }

  /** Asks for a check once typing rests. */
  changed(): void {
    this.keep();
    clearTimeout(this.timer);
    this.asked?.abort();
    this.check = 'checking';
    this.timer = setTimeout(() => void this.ask(), debounce);
  }

  private async ask(): Promise<void> {
    if (this.form === null || store.connection !== 'live') return;
    const own = new AbortController();
    this.asked = own;
    // A plan can be checked before there is a tube; an empty label is only a fault when the sweep is to start.
    const tube = this.tube.label === '' || this.tube.type === '' ? null : tubeOf(this.tube);
    try {
      const answer = await api.check(documentOf(this.form), tube, socketOf(this.tube), own.signal);
      if (own.signal.aborted) return;
      this.checked = answer.ok ? answer.value : null;
      this.refusals = answer.ok ? [] : answer.refusals;
      this.check = answer.ok ? 'good' : 'refused';
    } catch {
      // Aborted: a newer question is under way.
    }
  }

  async start(): Promise<void> {
    if (this.form === null || this.starting || store.running) return;
    this.starting = true;
    clearTimeout(this.timer);
    this.asked?.abort();
    try {
      const answer = await api.start(documentOf(this.form), tubeOf(this.tube), socketOf(this.tube));
      this.refusals = answer.ok ? [] : answer.refusals;
      this.check = answer.ok ? 'good' : 'refused';
      if (!answer.ok) {
        store.said = `Not started: ${answer.refusals.length === 1 ? 'one reason' : `${answer.refusals.length} reasons`}.`;
        queueMicrotask(() => document.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus());
      }
    } finally {
      this.starting = false;
    }
  }

  private keep(): void {
    try {
      sessionStorage.setItem(kept, JSON.stringify({ example: this.example, form: this.form, tube: this.tube, checks: this.checks }));
    } catch {
      // Nothing is lost but the convenience.
    }
  }

  private restore(): boolean {
    try {
      const was = JSON.parse(sessionStorage.getItem(kept) ?? 'null') as { example: string; form: PlanForm; tube: TubeForm; checks?: string } | null;
      if (was === null || typeof was.form?.start !== 'string' || typeof was.form.adaptFirst !== 'string') return false;
      this.example = was.example;
      this.form = was.form;
      this.tube = was.tube;
      this.checks = was.checks ?? '';
      return true;
    } catch {
      return false;
    }
  }
}

export const plan = new PlanStore();
