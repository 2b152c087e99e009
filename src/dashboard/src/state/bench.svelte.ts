import { api, type Outcome } from '../api/client';
import { watchBench } from '../api/hub';
import { chosenRig } from '../api/rig';
import type { Bench, Block, PassEnded, Refusal, Run, RunEnded, RunLevels, RunStarted, Tube } from '../api/types';
import { backOff } from '../model/backOff';
import { Delays } from '../model/delays';
import { clock } from './clock.svelte';
import { markDirty, onPainted } from './painter';
import { rigs } from './rigs.svelte';
import { ShownRun } from './shownRun';

export interface RunFacts {
  id: string;
  state: string;
  startedUtc: string;
  tube: Tube;
  planName: string;
  connection: string;
  driveStart: number;
  driveStop: number;
  plateRail: number;
}

/** A recorded run with more samples than this is not fetched just to fill the screen after a reload. */
const mostShownUnasked = 200_000;
const earlyKept = 2_000;
/** Among so many of the newest runs one of the rig that is shown is looked for, where there are several. */
const runsLookedAt = 50;

/** The bench as the page knows it, and the operator's acts. Blocks are appended to a plain model; only small facts are reactive. */
class BenchStore {
  bench = $state.raw<Bench | null>(null);
  connection = $state<'first' | 'live' | 'lost'>('first');
  lostAt = $state.raw<Date | null>(null);
  facts = $state.raw<RunFacts | null>(null);
  levels = $state.raw<RunLevels | null>(null);
  shown = $state.raw<ShownRun | null>(null);
  /** Whether the service has said what there is to show; before that an empty plot teaches nothing. */
  looked = $state(false);
  /** Passes that have points; a plot is laid out anew when it changes. */
  passCount = $state(0);
  points = $state(0);
  skipped = $state(0);
  refusals = $state.raw<Refusal[]>([]);
  safeState = $state<'idle' | 'sending' | 'failed'>('idle');
  /** Said to people who hear the page. */
  said = $state('');
  delay = $state.raw<{ newest: number; median: number; p99: number; count: number } | null>(null);

  /** Counts what the screening round did, so that whoever shows it reads it anew. */
  roundMoves = $state(0);
  /** The same of the night. */
  nightMoves = $state(0);

  private benchAt = performance.now();
  private readonly delays = new Delays();
  private newestSample: number | null = null;
  private early: Block[] = [];
  private loading: string | null = null;
  private settling: ShownRun | null = null;
  private settleAgain = false;
  private delayShownAt = 0;
  /** Version of the bench that is shown. */
  private newest = 0;

  constructor() {
    onPainted(() => this.measure());
    // A page out of sight gets no frames: what it draws on coming back is no delay of the stream.
    document.addEventListener('visibilitychange', () => (this.newestSample = null));
  }

  start(): void {
    void watchBench({
      benchChanged: (bench) => this.take(bench),
      runStarted: (run) => this.begin(run),
      blockArrived: (block) => this.takeBlock(block),
      passEnded: (ended) => this.passEnded(ended),
      runEnded: (ended) => void this.end(ended),
      roundChanged: () => void this.roundMoves++,
      nightChanged: () => void this.nightMoves++,
      rigsChanged: (list) => rigs.take(list),
      connected: () => void this.connected(),
      lost: () => this.lost(),
    });
  }

  /** Seconds since the bench was last heard of, for figures that run on by themselves. */
  get since(): number {
    return Math.max(0, (clock.now - this.benchAt) / 1000);
  }

  get running(): boolean {
    return this.bench?.run != null;
  }

  private async connected(): Promise<void> {
    this.connection = 'live';
    // It may be another process, which counts anew.
    this.newest = 0;
    if (this.safeState === 'failed') this.safeState = 'idle';
    this.lostAt = null;
    const known = rigs.refresh();
    let bench = await api.bench();
    for (let tries = 1; !bench.ok && this.connection === 'live'; tries++) {
      await new Promise((resolve) => setTimeout(resolve, backOff(tries)));
      bench = await api.bench();
    }
    if (!bench.ok) return;
    this.take(bench.value);
    await known;
    if (bench.value.run === null) await this.showNewest();
    else if (this.shown !== null) await this.settle(this.shown);
    this.looked = true;
  }

  /** With no run under way the newest is shown, also one that came and went while the page was away. */
  private async showNewest(): Promise<void> {
    const newest = await api.runs(rigs.several ? runsLookedAt : 1, null);
    const run = newest.ok ? newest.value.runs.find((r) => !rigs.several || r.rigSerialNumber === this.bench?.rig?.serialNumber) : undefined;
    if (run !== undefined && run.id !== this.shown?.shape.runId && run.samples <= mostShownUnasked && !this.running) await this.load(run.id);
    else if (this.shown !== null) await this.settle(this.shown);
  }

  private lost(): void {
    if (this.connection === 'lost') return;
    this.connection = 'lost';
    this.lostAt = new Date();
  }

  private take(bench: Bench): void {
    // The answer to an act may come after the word of what followed from it.
    if (bench.version < this.newest) return;
    this.newest = bench.version;
    this.bench = bench;
    this.benchAt = performance.now();
    const id = bench.run?.runId;
    if (id !== undefined && id !== this.shown?.shape.runId) void this.load(id);
    // Its end may have been told while the page was away.
    if (id === undefined && this.shown !== null && this.facts?.state === 'running') void this.settle(this.shown);
  }

  private begin(run: RunStarted): void {
    if (this.shown?.shape.runId === run.runId) return;
    this.show(
      { id: run.runId, state: 'running', startedUtc: run.startedUtc, tube: run.tube, planName: run.planName, connection: run.connection,
        driveStart: run.driveStart, driveStop: run.driveStop, plateRail: run.plateRail },
      new ShownRun({ runId: run.runId, driveStart: run.driveStart, driveStop: run.driveStop, passes: run.passes }, () => this.changed()));
    this.said = `Run started on tube ${run.tube.label}.`;
  }

  /** Puts a recorded run, or one under way, on the screen. */
  private async load(id: string): Promise<void> {
    if (this.loading === id) return;
    this.loading = id;
    try {
      const found = await api.run(id);
      if (!found.ok || this.shown?.shape.runId === id) return;
      const shown = new ShownRun(ShownRun.shapeOf(found.value), () => this.changed());
      this.show(factsOf(found.value), shown);
      await this.settle(shown);
    } finally {
      this.loading = null;
    }
  }

  private show(facts: RunFacts, shown: ShownRun): void {
    this.facts = facts;
    this.levels = null;
    this.passCount = this.points = 0;
    this.delays.clear();
    this.delay = null;
    this.newestSample = null;
    this.shown = shown;
    const early = this.early;
    this.early = [];
    for (const block of early) this.takeBlock(block);
    this.changed();
  }

  private takeBlock(block: Block): void {
    if (this.shown?.shape.runId !== block.runId) {
      if (this.early.length < earlyKept) this.early.push(block);
      return;
    }
    this.skipped = block.skippedBlocks;
    if (block.newestSampleUnixMs !== null && !document.hidden) this.newestSample = Math.max(this.newestSample ?? 0, block.newestSampleUnixMs);
    this.shown.take(block);
  }

  private changed(): void {
    const passes = this.shown?.live.passes ?? [];
    this.passCount = passes.length === 0 ? 0 : passes.at(-1)!.pass.index + 1;
    markDirty();
  }

  private passEnded(ended: PassEnded): void {
    this.said = `Pass ${ended.pass.index + 1} ended.`;
  }

  private async end(ended: RunEnded): Promise<void> {
    this.said = `Run ${ended.state}.`;
    const shown = this.shown;
    if (shown?.shape.runId !== ended.runId) return;
    this.showDelay();
    if (this.facts !== null) this.facts = { ...this.facts, state: ended.state };
    await this.settle(shown);
  }

  /** Brings the shown run up to date with its record, whatever was missed of it, its end included. A connection lost meanwhile starts this anew. */
  private async settle(shown: ShownRun): Promise<void> {
    if (this.settling === shown) {
      this.settleAgain = true;
      return;
    }
    this.settling = shown;
    const wanted = (): boolean => this.shown === shown && this.connection !== 'lost';
    let ended: boolean;
    do {
      this.settleAgain = false;
      ended = await shown.settle(wanted, (run) => {
        // An answer that was under way when the run ended is older than what the page knows.
        if (this.shown === shown && this.facts?.state === 'running') this.facts = factsOf(run);
      });
    } while (!ended && this.settleAgain && wanted());
    if (this.settling === shown) this.settling = null;
    if (ended) await this.fetchLevels(shown.shape.runId);
  }

  private async fetchLevels(id: string): Promise<void> {
    const levels = await api.levels(id);
    if (levels.ok && this.shown?.shape.runId === id) this.levels = levels.value;
  }

  private measure(): void {
    this.points = this.shown?.live.passes.reduce((sum, p) => sum + p.count, 0) ?? 0;
    if (this.newestSample === null) return;
    this.delays.add(Date.now() - this.newestSample);
    this.newestSample = null;
    if (performance.now() - this.delayShownAt > 500) this.showDelay();
  }

  private showDelay(): void {
    this.delayShownAt = performance.now();
    const { newest, count } = this.delays;
    this.delay = newest === null ? null : { newest, median: this.delays.percentile(50)!, p99: this.delays.percentile(99)!, count };
  }

  /** Safe first, words later: sent three times over before the page says that it did not get through. */
  async makeSafe(): Promise<void> {
    this.safeState = 'sending';
    for (let tries = 0; tries < 3; tries++) {
      const answer = await api.makeSafe('asked for on the page');
      if (answer.ok) {
        // The order went to all rigs, and the answer is of the first.
        if (chosenRig === null) this.take(answer.value);
        else void this.refresh();
        this.safeState = 'idle';
        this.said = rigs.several ? 'All rigs made safe.' : 'Made safe.';
        return;
      }
      if (answer.refusals[0]?.code !== 'unreachable') {
        this.refusals = answer.refusals;
        break;
      }
    }
    this.safeState = 'failed';
    this.said = 'Make safe did not reach the rig.';
  }

  acknowledge = (): Promise<boolean> => this.act(api.acknowledge());
  stop = (): Promise<boolean> => this.act(api.stop());
  heater = (on: boolean, volts: number | null): Promise<boolean> => this.act(api.heater(on, volts));
  endPermit = (): Promise<boolean> => this.act(api.endPermit());

  private async act(asked: Promise<Outcome<Bench>>): Promise<boolean> {
    const answer = await asked;
    this.refusals = answer.ok ? [] : answer.refusals;
    if (answer.ok) this.take(answer.value);
    return answer.ok;
  }

  /** Reads the bench again after an act whose answer was something else. */
  async refresh(): Promise<void> {
    const bench = await api.bench();
    if (bench.ok) this.take(bench.value);
  }
}

function factsOf(run: Run): RunFacts {
  const { id, state, startedUtc, tube, planName, connection, driveStart, driveStop, plateRail } = run;
  return { id, state, startedUtc, tube, planName, connection, driveStart, driveStop, plateRail };
}

export const store = new BenchStore();
