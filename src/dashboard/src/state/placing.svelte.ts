import { logicApi } from '../api/logic';
import type { GateFill, GateSpares, TubeChoice } from '../api/types';
import { chooseRequest, fillRequest, sparesRequest } from '../model/logicForm';
import { lastOf, marginOf, placing, replaced, type Placing } from '../model/placing';
import { Followed } from './followed.svelte';
import { logic } from './logic.svelte';

/** Which tube stands where in the gate: spares, the choice out of a lot, and what was changed at one stroke. */
class PlacingStore {
  spares = new Followed<GateSpares>();
  choice = new Followed<TubeChoice>();
  fills = new Followed<GateFill>();
  /** Spares are wanted, and asked for anew with every change. */
  sparesWanted = $state(false);

  private strokes = $state.raw<Placing[]>([]);

  /** The last change, while it is still what is placed. */
  get last(): Placing | null {
    return logic.kind === null ? null : lastOf(this.strokes, logic.form, logic.kind);
  }

  /** Of the tubes as they are placed; null until the check of them has come. */
  get margin(): number | null {
    return logic.kind === null || logic.checkDue || logic.check.busy ? null : marginOf(logic.check.value, logic.form, logic.kind);
  }

  place(says: string, after: readonly string[]): void {
    if (logic.kind === null) return;
    const stroke = placing(says, $state.snapshot(logic.form), logic.kind, after, marginOf(logic.check.value, logic.form, logic.kind));
    if (stroke === null) return;
    this.strokes = [...this.strokes, stroke];
    logic.form.placed = [...stroke.after];
  }

  /** Puts a spare where another tube stands. */
  replace(position: string, number: string): void {
    if (logic.kind === null) return;
    const at = logic.kind.positions.indexOf(position);
    const old = logic.placed[at] ?? '';
    this.place(`${number} in place of ${old === '' ? 'the example tube' : old} at ${position}`, replaced($state.snapshot(logic.form), logic.kind, position, number));
  }

  undo(): void {
    const last = this.last;
    if (last === null) return;
    this.strokes = this.strokes.slice(0, -1);
    logic.form.placed = [...last.before];
  }

  /** What was filled in last, while it is still what is placed. */
  get filled(): GateFill | null {
    const was = this.fills.value;
    return was !== null && was.gate === logic.kind?.name && was.tubes.every((t, i) => (t ?? '') === logic.placed[i]) ? was : null;
  }

  /** @param first numbers in the order in which they are wanted */
  async fill(first: readonly string[]): Promise<void> {
    if (logic.kind === null) return;
    const asked = JSON.stringify([logic.kind.name, logic.placed]);
    const body = fillRequest($state.snapshot(logic.form), logic.kind, first);
    await this.fills.follow((work, signal) => logicApi.fill(body, work, signal));
    // Whoever typed meanwhile meant what he typed.
    const found = this.fills.value;
    if (found !== null && !this.fills.busy && JSON.stringify([logic.kind?.name, logic.placed]) === asked) this.place('Empty places filled', found.tubes.map((t) => t ?? ''));
  }

  async askSpares(): Promise<void> {
    if (logic.kind === null) return;
    const body = sparesRequest($state.snapshot(logic.form), logic.kind);
    await this.spares.follow((work, signal) => logicApi.spares(body, work, signal));
  }

  async askChoice(kept: boolean): Promise<void> {
    if (logic.kind === null) return;
    const body = chooseRequest($state.snapshot(logic.form), logic.kind, kept);
    await this.choice.follow((work, signal) => logicApi.choose(body, work, signal));
  }
}

export const placingStore = new PlacingStore();
