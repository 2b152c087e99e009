import type { Night, NightStep } from '../api/types';
import { sized } from './figures';

/** Shape and word of a step. */
export const stepWords: Record<NightStep['state'], [string, string]> = {
  waiting: ['○', 'to come'], running: ['▶', 'under way'], passed: ['●', 'passed'], failed: ['▲', 'failed'], skipped: ['–', 'skipped'], 'not-reached': ['◇', 'not reached'],
};

/** Shape and word of a night. */
export const nightWords: Record<Night['state'], [string, string]> = {
  waiting: ['◔', 'Waiting'], working: ['▶', 'At work'], held: ['▲', 'Held'], 'cut-short': ['◐', 'Not taken up again yet'], over: ['●', 'Over'],
};

/** Shape, word and tone of a night as it stands: one that works over a hold says what comes of it. */
export function standing(night: Pick<Night, 'state' | 'held'>): [string, string, Night['state']] {
  if (night.state === 'working' && night.held !== null) return ['▲', 'Held after this step', 'held'];
  return [...nightWords[night.state], night.state];
}

export interface Counts { steps: number; over: number; passed: number; failed: number; skipped: number; notReached: number }

export function countsOf(night: Pick<Night, 'jobs'>): Counts {
  const counts = { steps: 0, over: 0, passed: 0, failed: 0, skipped: 0, notReached: 0 };
  for (const job of night.jobs) {
    counts.steps += job.steps;
    counts.passed += job.passed;
    counts.failed += job.failed;
    counts.skipped += job.skipped;
    counts.notReached += job.notReached;
  }
  counts.over = counts.passed + counts.failed + counts.skipped + counts.notReached;
  return counts;
}

/** `1.25 A, 7.56 W`. */
export function load(amps: number | null | undefined, watts: number | null | undefined): string {
  if (amps == null) return 'unknown';
  return watts == null ? sized(amps, 'A') : `${sized(amps, 'A')}, ${sized(watts, 'W')}`;
}
