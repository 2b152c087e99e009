import type { Outcome } from '../api/call';
import { nightApi } from '../api/night';
import { chosenRig } from '../api/rig';
import type { Morning, Night, NightExample, NightHead, NightPlan, NightStep, Refusal } from '../api/types';
import { emptyNight, nightDocument, nightForm, type NightForm } from '../model/nightForm';
import { withinDocument } from '../model/refusals';
import { Asked } from './asked.svelte';
import { store } from './bench.svelte';
import { clock } from './clock.svelte';

/** Each rig has its own sockets, and so its own night. */
const kept = `sweeprig.night${chosenRig === null ? '' : `.${chosenRig}`}`;
const pause = 350;
/** All steps are read again no sooner than this; between, what the night tells of its newest and next ones is enough. Milliseconds. */
const readAgain = 5_000;

/** The night of the rig as the page knows it, and the one that is being composed. */
class NightStore {
  form = $state<NightForm>(read());
  examples = $state.raw<NightExample[]>([]);
  plan = new Asked<NightPlan>();
  night = $state.raw<Night | null>(null);
  /** By their place; none while they were not read. */
  steps = $state.raw<readonly NightStep[]>([]);
  /** The newest night on record, under way or over; it outlives the service. */
  last = $state.raw<NightHead | null>(null);
  lastSteps = $state.raw<readonly NightStep[]>([]);
  /** What must be known since it began; without one, of the last hours. */
  morning = $state.raw<Morning | null>(null);
  morningFetched = $state(false);
  fetched = $state(false);
  refusals = $state.raw<Refusal[]>([]);
  /** What was refused of beginning, with pointers into the document. */
  beginRefusals = $state.raw<Refusal[]>([]);
  busy = $state(false);

  private timer: ReturnType<typeof setTimeout> | undefined;
  private stepsOf = '';
  private stepsAt = 0;
  private readingSteps = false;
  private at = performance.now();

  /** Seconds since the night was last heard of. */
  get since(): number {
    return Math.max(0, (clock.now - this.at) / 1000);
  }

  /** Faults of the document as it stands in the form. */
  get faults(): Refusal[] {
    return this.beginRefusals.length > 0 ? this.beginRefusals : withinDocument(this.plan.refusals, '/document');
  }

  get underWay(): boolean {
    return this.night !== null && this.night.state !== 'over';
  }

  async learn(): Promise<void> {
    if (this.examples.length > 0) return;
    const answer = await nightApi.examples();
    if (answer.ok) this.examples = answer.value;
  }

  /** Takes a document into the form. @returns false for what is no night */
  take(document: unknown): boolean {
    const form = nightForm(document);
    if (form === null) return false;
    this.form = form;
    return true;
  }

  /** Keeps what was typed, and has it planned once typing rests. */
  changed(): void {
    keep(this.form);
    this.beginRefusals = [];
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.plan.ask((signal) => nightApi.plan(nightDocument(this.form), signal)), pause);
  }

  async refresh(): Promise<void> {
    const answer = await nightApi.status();
    if (!answer.ok) return;
    this.fetched = true;
    if (answer.value.night !== null) this.heard(answer.value.night);
    else {
      this.night = null;
      this.steps = [];
    }
  }

  /** Reads the newest night on record, with its steps and what must be known since it began. */
  async readMorning(): Promise<void> {
    const heads = await nightApi.list(1);
    if (!heads.ok) return;
    const last = heads.value[0] ?? null;
    const [steps, morning] = await Promise.all([last === null ? [] : allSteps(last.id), nightApi.morning(last === null ? null : last.begunUtc)]);
    this.lastSteps = steps;
    if (morning.ok) this.morning = morning.value;
    this.last = last;
    this.morningFetched = true;
  }

  async begin(): Promise<boolean> {
    this.busy = true;
    const answer = await nightApi.begin(nightDocument(this.form));
    this.busy = false;
    this.beginRefusals = answer.ok ? [] : withinDocument(answer.refusals, '/document');
    if (answer.ok) this.heard(answer.value);
    store.said = answer.ok ? `Night ${answer.value.name} has begun.` : 'The night was not begun.';
    return answer.ok;
  }

  hold = (why: string): Promise<boolean> => this.act(nightApi.hold(why));
  goOn = (): Promise<boolean> => this.act(nightApi.goOn());
  skip = (job: string): Promise<boolean> => this.act(nightApi.skip(job));
  end = (): Promise<boolean> => this.act(nightApi.end());

  private async act(asked: Promise<Outcome<Night>>): Promise<boolean> {
    this.busy = true;
    const answer = await asked;
    this.busy = false;
    this.refusals = answer.ok ? [] : answer.refusals;
    if (answer.ok) this.heard(answer.value);
    return answer.ok;
  }

  private heard(night: Night): void {
    // An answer that was overtaken is of no use; a new process counts from the beginning.
    if (this.night?.id === night.id && night.version < this.night.version && night.takenUp === this.night.takenUp) return;
    this.night = night;
    this.at = performance.now();
    if (this.stepsOf === night.id) this.mix(night);
    void this.readSteps(night);
  }

  /** What the night itself tells of its newest and next steps. */
  private mix(night: Night): void {
    const steps = [...this.steps];
    for (const step of [...night.latest, ...night.coming]) if (step.step < steps.length) steps[step.step] = step;
    this.steps = steps;
  }

  /** All of them when the night is new to the page, and again when counts say that some were missed. */
  private async readSteps(night: Night): Promise<void> {
    const whole = night.jobs.reduce((sum, j) => sum + j.steps, 0);
    const open = night.jobs.reduce((sum, j) => sum + j.waiting + j.running, 0);
    const known = this.stepsOf === night.id && this.steps.length === whole;
    if (this.readingSteps || whole === 0 || (known && this.steps.filter((s) => s.state === 'waiting' || s.state === 'running').length === open)) return;
    if (known && performance.now() - this.stepsAt < readAgain) return;
    this.readingSteps = true;
    this.stepsAt = performance.now();
    const steps = await allSteps(night.id);
    this.readingSteps = false;
    if (this.night?.id !== night.id) return;
    this.stepsOf = night.id;
    this.steps = steps;
    this.mix(this.night);
  }
}

async function allSteps(id: string): Promise<NightStep[]> {
  const steps: NightStep[] = [];
  for (let total = 1; steps.length < total;) {
    const page = await nightApi.steps(id, steps.length);
    if (!page.ok || page.value.steps.length === 0) break;
    steps.push(...page.value.steps);
    total = page.value.total;
  }
  return steps;
}

const ownZone = (): string => {
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  return zone === undefined || zone === 'UTC' ? 'Etc/UTC' : zone;
};

/** What was being composed in this browser. */
function read(): NightForm {
  try {
    const form = nightForm(JSON.parse(localStorage.getItem(kept) ?? 'null'));
    if (form !== null) return form;
  } catch {
    // Begins anew.
  }
  return emptyNight(ownZone());
}

function keep(form: NightForm): void {
  try {
    localStorage.setItem(kept, JSON.stringify(nightDocument(form)));
  } catch {
    // Holds until the page is left.
  }
}

export const nights = new NightStore();
export const freshNight = (): NightForm => emptyNight(ownZone());
