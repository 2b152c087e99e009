import type { BuildVerdict, TestVoltages } from '../api/types';
import { number } from './planForm';

/** What was read off a meter, as it is typed, by row and node. */
export type Readings = Readonly<Record<string, string>>;

export const readingKey = (row: string, node: string): string => `${row}\n${node}`;

export interface Reading { node: string; row: string; volts: number }

/** Readings as numbers, and those that are none. */
export function readingsOf(typed: Readings): { readings: Reading[]; wrong: { node: string; row: string; text: string }[] } {
  const readings: Reading[] = [];
  const wrong: { node: string; row: string; text: string }[] = [];
  for (const [key, text] of Object.entries(typed)) {
    if (text.trim() === '') continue;
    const [row, node] = key.split('\n') as [string, string];
    const volts = number(text);
    if (typeof volts === 'number') readings.push({ node, row, volts });
    else wrong.push({ node, row, text });
  }
  return { readings, wrong };
}

/** How a reading stands to what it should be: volts above it, and whether that is more than a sound build differs. Null without a number. */
export function offBy(typed: string | undefined, expected: { volts: number; tolerance: number }): { volts: number; far: boolean } | null {
  const volts = typed === undefined || typed.trim() === '' ? '' : number(typed);
  return typeof volts === 'number' ? { volts: volts - expected.volts, far: Math.abs(volts - expected.volts) > expected.tolerance } : null;
}

/** Decimals that show a tolerance with two digits, as the sheets have it. */
export const decimalsFor = (tolerance: number): number => (tolerance >= 1 ? 1 : tolerance >= 0.1 ? 2 : 3);

/** Readings in each row, of as many as there are nodes. */
export const countOf = (typed: Readings, voltages: TestVoltages): number[] =>
  voltages.rows.map((r) => r.nodes.filter((n) => (typed[readingKey(r.name, n.node)] ?? '').trim() !== '').length);

/** Parts that an explanation names, the likeliest first; none of a sound build. */
export const blamed = (verdict: BuildVerdict): string[] => (verdict.sound ? [] : [...new Set(verdict.explanations.map((e) => e.part).filter((p) => p !== ''))]);
