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

/** Readings of every build that somebody has begun to measure, the newest last. */
export type Builds = Readonly<Record<string, Readings>>;

const kept = 'sweeprig.readings';
const mostBuilds = 50;

/** A build is a gate with the very tubes that stand in it. Rails and values are what it is thought to have: they may be put right while it is measured. */
export const buildKey = (gate: string, tubes: readonly string[]): string => [gate, ...tubes.map((t) => t.trim().toUpperCase())].join(' | ');

/** Readings of a build anew; one without any is forgotten, and of too many the oldest. */
export function withReadings(builds: Builds, build: string, typed: Readings): Builds {
  const others = Object.entries(builds).filter(([name]) => name !== build);
  const some = Object.entries(typed).filter(([, text]) => text.trim() !== '');
  return Object.fromEntries((some.length === 0 ? others : [...others, [build, Object.fromEntries(some)] as const]).slice(-mostBuilds));
}

const isReadings = (value: unknown): value is Readings => typeof value === 'object' && value !== null && Object.entries(value).every(([key, text]) => key.includes('\n') && typeof text === 'string');

/** What was typed in this browser; null where it keeps nothing. */
export function keptReadings(): Builds | null {
  try {
    const was = JSON.parse(localStorage.getItem(kept) ?? '{}') as unknown;
    return typeof was === 'object' && was !== null ? Object.fromEntries(Object.entries(was).filter((build): build is [string, Readings] => isReadings(build[1]))) : {};
  } catch {
    return null;
  }
}

export function keepReadings(builds: Builds): void {
  try {
    localStorage.setItem(kept, JSON.stringify(builds));
  } catch {
    // Holds until the page is left.
  }
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
