import { logicApi } from '../api/logic';
import type { BistablePairs, GateCheck, GateKind, GateList, GateParts, GateTiming, GateYield, LogicTubes, MarginMap, Stage, ValueSearch } from '../api/types';
import type { Outcome } from '../api/client';
import { gateRequest, mapRequest, pairRequest, placesOf, searchRequest, stageRequest, usualForm, withGate, yieldRequest, type LogicForm } from '../model/logicForm';
import { refusalText } from '../model/refusals';
import { Asked } from './asked.svelte';
import { Followed } from './followed.svelte';

const pause = 350;

/** @returns why there is nothing to hand on; empty when there is */
function handOn(file: Outcome<Blob>, name: string): string {
  if (!file.ok) return file.refusals.map(refusalText).join(' ');
  const url = URL.createObjectURL(file.value);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
  return '';
}

/** Circuits of measured tubes: what is asked about, and the newest answers. */
class LogicStore {
  gates = $state.raw<GateList | null>(null);
  tubes = $state.raw<LogicTubes | null>(null);
  form = $state<LogicForm>({ ...usualForm });
  stage = new Followed<Stage>();
  search = new Followed<ValueSearch>();
  pairs = new Followed<BistablePairs>();
  check = new Followed<GateCheck>();
  yields = new Followed<GateYield>();
  timing = new Followed<GateTiming>();
  map = new Followed<MarginMap>();
  /** The gate as SVG. */
  drawn = new Asked<string>();
  parts = new Asked<GateParts>();
  /** Why a netlist did not come; empty when it did. */
  netlistFault = $state('');
  /** Why the sheets did not come; empty when they did. */
  sheetsFault = $state('');
  /** The sheets are being made. */
  sheetsBusy = $state(false);

  /** A check is due, once typing rests. */
  checkDue = $state(false);

  private stageTimer: ReturnType<typeof setTimeout> | undefined;
  private checkTimer: ReturnType<typeof setTimeout> | undefined;

  get kind(): GateKind | null {
    return this.gates?.gates.find((g) => g.name === this.form.gate) ?? this.gates?.gates[0] ?? null;
  }

  /** Another gate, with none of the tubes. */
  pick(name: string): void {
    const kind = this.gates?.gates.find((g) => g.name === name);
    if (kind !== undefined) this.form = withGate($state.snapshot(this.form), this.kind, kind);
  }

  async learn(): Promise<void> {
    const [gates, tubes] = await Promise.all([this.gates === null ? logicApi.gates() : null, logicApi.tubes()]);
    if (gates?.ok) this.gates = gates.value;
    if (tubes.ok) this.tubes = tubes.value;
  }

  /** Asks what the stage does once typing rests. */
  askStage(): void {
    clearTimeout(this.stageTimer);
    const body = stageRequest($state.snapshot(this.form));
    this.stageTimer = setTimeout(() => void this.stage.follow((work, signal) => logicApi.stage(body, work, signal)), pause);
  }

  askCheck(): void {
    clearTimeout(this.checkTimer);
    const kind = this.kind;
    if (kind === null) return;
    const body = gateRequest($state.snapshot(this.form), kind);
    for (const asked of [this.yields, this.timing, this.map]) asked.clear();
    this.netlistFault = '';
    this.sheetsFault = '';
    this.checkDue = true;
    this.checkTimer = setTimeout(() => {
      this.checkDue = false;
      void this.solveGate(body);
    }, pause);
  }

  // Parts come after the table: what keeps the one from being solved keeps the other, and is said once.
  private async solveGate(body: object): Promise<void> {
    void this.drawn.ask((signal) => logicApi.schematic(body, signal));
    let mine = false;
    await this.check.follow(async (work, signal) => {
      const answer = await logicApi.check(body, work, signal);
      mine = answer.ok && !signal.aborted;
      return answer;
    });
    if (!mine && this.check.refusals.length > 0) this.parts.clear();
    if (mine) await this.parts.ask((signal) => logicApi.parts(body, signal));
  }

  async askSearch(): Promise<void> {
    const body = searchRequest($state.snapshot(this.form));
    await this.search.follow((work, signal) => logicApi.search(body, work, signal));
  }

  async askPairs(): Promise<void> {
    const body = pairRequest($state.snapshot(this.form));
    await this.pairs.follow((work, signal) => logicApi.pairs(body, work, signal));
  }

  async askYield(): Promise<void> {
    if (this.kind === null) return;
    const body = yieldRequest($state.snapshot(this.form), this.kind);
    await this.yields.follow((work, signal) => logicApi.yields(body, work, signal));
  }

  async askTiming(): Promise<void> {
    if (this.kind === null) return;
    const body = gateRequest($state.snapshot(this.form), this.kind);
    await this.timing.follow((work, signal) => logicApi.timing(body, work, signal));
  }

  async askMap(): Promise<void> {
    if (this.kind === null) return;
    const body = mapRequest($state.snapshot(this.form), this.kind);
    await this.map.follow((work, signal) => logicApi.map(body, work, signal));
  }

  /** Hands the netlist of a row to the browser as a file. */
  async saveNetlist(row: number): Promise<void> {
    const kind = this.kind;
    if (kind === null) return;
    this.netlistFault = handOn(await logicApi.netlist({ ...gateRequest($state.snapshot(this.form), kind), row }), `${kind.name}-row-${row + 1}.cir`);
  }

  /** Hands what goes to the bench to the browser as a file. */
  async saveSheets(): Promise<void> {
    const kind = this.kind;
    if (kind === null || this.sheetsBusy) return;
    this.sheetsBusy = true;
    this.sheetsFault = handOn(await logicApi.reportPdf(gateRequest($state.snapshot(this.form), kind)), `build-${kind.name}.pdf`);
    this.sheetsBusy = false;
  }

  get placed(): string[] {
    return this.kind === null ? [] : placesOf(this.form, this.kind);
  }
}

export const logic = new LogicStore();
