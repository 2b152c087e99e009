import type { Fit, FittedConstant, PredictionCheck, Run } from '../api/types';
import { decimalsOf, fixed, trimmed } from './figures';
import type { PlanDocument } from '../api/types';

const prefixes: [number, string][] = [[1e3, 'k'], [1, ''], [1e-3, 'm'], [1e-6, 'µ'], [1e-9, 'n']];

export interface ConstantText {
  value: string;
  unit: string;
  /** Ends of the 95 % interval, in the unit. */
  low: string;
  high: string;
  /** Expanded, 95 %; empty when it was not estimated. */
  uncertainty: string;
}

/** A constant of a tube for people, with an SI prefix where the unit is one of a single letter; null when it is not determined. */
export function constantText(constant: Pick<FittedConstant, 'figure' | 'low' | 'high'>): ConstantText | null {
  const { figure } = constant;
  if (figure.value === null) return null;
  const plain = figure.unit === '1' ? '' : figure.unit;
  const prefixed = plain === 'A' || plain === 'S' || plain.startsWith('A/V^');
  const size = Math.max(Math.abs(figure.value), figure.uncertainty ?? 0);
  const [scale, prefix] = prefixed ? (prefixes.find(([s]) => size >= s) ?? prefixes.at(-1)!) : [1, ''];
  const decimals = decimalsOf((figure.uncertainty ?? Math.abs(figure.value) / 100) / scale);
  const text = (v: number): string => fixed(v / scale, decimals);
  return {
    value: text(figure.value), unit: (prefix + plain).replace('^1.5', '\u00b9\u00b7\u2075').replace('^2', '\u00b2'),
    low: constant.low === null ? '' : text(constant.low), high: constant.high === null ? '' : text(constant.high),
    uncertainty: figure.expandedUncertainty == null ? '' : text(figure.expandedUncertainty),
  };
}

/** Volts to three digits, with an SI prefix; a dash without any. */
export function voltsText(volts: number | null): string {
  if (volts === null) return '–';
  if (volts === 0) return '0 V';
  const [scale, prefix] = prefixes.find(([s]) => s <= 1 && Math.abs(volts) >= s) ?? prefixes.at(-1)!;
  return `${trimmed(Number((volts / scale).toPrecision(3)))} ${prefix}V`;
}

export const statusShape: Record<Fit['status'], [string, string]> = { good: ['●', 'Good'], doubtful: ['▲', 'Doubtful'], refused: ['■', 'No fit'] };

/** Whether a prediction held, as shape, words and class. */
export const verdictWords: Record<PredictionCheck['verdict'], [shape: string, words: string, tone: 'within' | 'outside']> = {
  held: ['●', 'held', 'within'], edge: ['◐', 'held but for chance', 'within'], failed: ['▲', 'did not hold', 'outside'],
};

/** Plate resistor and rail of a recorded run, null where its plan does not say. */
export function wiring(run: Run): { ohms: number | null; rail: number } {
  const plan = run.plan as Partial<PlanDocument> | null | undefined;
  return { ohms: plan?.connection?.plateResistorOhms ?? null, rail: run.plateRail };
}

/** Whether the plate rail was stepped from pass to pass. */
export function steppedRail(run: Run): boolean {
  return (run.plan as Partial<PlanDocument> | null | undefined)?.secondSource?.source === 'plateRail';
}

/** Newest first in, newest first out: ended runs in this connection that could bear a prediction out. */
export function madeWith(runs: readonly Run[], connection: string, ohms: number, rail: number): Run[] {
  return runs.filter((r) => {
    const wired = wiring(r);
    return r.connection === connection && !steppedRail(r) && wired.rail === rail && wired.ohms !== null && Math.abs(wired.ohms - ohms) < 0.5;
  });
}

/** Newest first in: of each other plate resistor the newest run that differs from this one in nothing else that matters to the tube. */
export function otherResistors(run: Run, runs: readonly Run[]): Run[] {
  const connection = (r: Run) => (r.plan as Partial<PlanDocument> | null | undefined)?.connection;
  const own = connection(run);
  if (own === undefined || steppedRail(run)) return [];
  const found = new Map<number, Run>();
  for (const other of runs) {
    const its = connection(other);
    if (its === undefined || its.kind !== own.kind || its.plateResistorOhms === own.plateResistorOhms || found.has(its.plateResistorOhms) || steppedRail(other)) continue;
    if (its.plateRailVolts === own.plateRailVolts && its.heaterVolts === own.heaterVolts && its.screenResistorOhms === own.screenResistorOhms) found.set(its.plateResistorOhms, other);
  }
  return [...found.values()].slice(0, 4);
}

/** `4.7 kΩ at 28 V` and the like, to tell runs of a tube apart. */
export function runShort(run: Run, ohmsText: (ohms: number) => string): string {
  const { ohms, rail } = wiring(run);
  return `${run.connection}, ${ohms === null ? '' : `${ohmsText(ohms)}, `}${trimmed(rail)} V, to ${trimmed(run.driveStop)} V`;
}
