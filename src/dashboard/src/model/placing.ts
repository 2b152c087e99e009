import type { GateCheck, GateKind, TubeChoice } from '../api/types';
import { circuit, placesOf, type LogicForm } from './logicForm';

/** Tubes at the places of a gate, changed at one stroke, so that it can be undone. */
export interface Placing {
  /** In a few words. */
  says: string;
  /** Gate, rails and values, for which the margin was told. */
  of: string;
  before: readonly string[];
  after: readonly string[];
  /** Margin before, volts; null where it was not known. */
  marginBefore: number | null;
}

/** What a margin hangs on beside the tubes. */
export const circuitKey = (form: LogicForm): string => JSON.stringify([form.gate, circuit(form)]);

const same = (a: readonly string[], b: readonly string[]): boolean => a.length === b.length && a.every((n, i) => n.toUpperCase() === b[i]!.toUpperCase());

/** The margin of the tubes that are placed; null while the check is of others. */
export function marginOf(check: GateCheck | null, form: LogicForm, kind: GateKind): number | null {
  return check !== null && check.gate === kind.name && same(check.tubes.map((t) => t.number ?? ''), placesOf(form, kind)) ? check.marginVolts : null;
}

/** @returns null when nothing changes */
export function placing(says: string, form: LogicForm, kind: GateKind, after: readonly string[], marginBefore: number | null): Placing | null {
  const before = placesOf(form, kind);
  return same(before, after) ? null : { says, of: circuitKey(form), before, after, marginBefore };
}

/** The last stroke, as long as what it left is still what is placed, in the circuit that it was made for. */
export function lastOf(strokes: readonly Placing[], form: LogicForm, kind: GateKind): Placing | null {
  const last = strokes.at(-1);
  return last !== undefined && last.of === circuitKey(form) && same(last.after, placesOf(form, kind)) ? last : null;
}

/** One tube put where another stood; where it stood itself becomes empty. */
export const replaced = (form: LogicForm, kind: GateKind, position: string, number: string): string[] =>
  placesOf(form, kind).map((p, i) => (kind.positions[i] === position ? number : p === number ? '' : p));

/** The tubes of a choice, or of its runner-up, in the order of the places. */
export function chosen(choice: TubeChoice, kind: GateKind, runnerUp = false): string[] {
  const other = runnerUp ? choice.runnerUp?.tubes ?? [] : [];
  return kind.positions.map((p) => (other.find((t) => t.position === p) ?? choice.tubes.find((t) => t.position === p))?.number ?? '');
}
