import type { DoneAlarm, Morning, NightHead, NightStep } from '../api/types';

/** Shape, word and tone of a rig in the morning. */
export const rigWords: Record<Morning['now'][number]['state'], [string, string, 'good' | 'heed' | 'tripped']> = {
  ready: ['●', 'Ready', 'good'], working: ['▶', 'At work', 'good'], tripped: ['⬣', 'Tripped', 'tripped'], gone: ['▲', 'Away', 'heed'],
};

const worst = ['tripped', 'gone', 'working', 'ready'] as const;

/** How the bench stands, in the word of its worst rig. */
export function benchNow(now: Morning['now']): [string, string, 'good' | 'heed' | 'tripped'] {
  const state = worst.find((s) => now.some((rig) => rig.state === s));
  return state === undefined ? ['▲', 'Not known', 'heed'] : rigWords[state];
}

/** Shape of a severity. */
export const severityShapes: Record<Morning['first'][number]['severity'], string> = { alarm: '▲▲', warning: '▲', note: '·' };

export interface Outcome { steps: number; passed: number; failed: number; skipped: number; notReached: number; open: number }

export function outcomeOf(steps: readonly NightStep[]): Outcome {
  const of = (...states: NightStep['state'][]): number => steps.filter((s) => states.includes(s.state)).length;
  return { steps: steps.length, passed: of('passed'), failed: of('failed'), skipped: of('skipped'), notReached: of('not-reached'), open: of('waiting', 'running') };
}

/** In one sentence how a night went. */
export function sentence(head: NightHead, outcome: Outcome): string {
  const parts = [`${outcome.passed} of ${outcome.steps} steps passed`];
  if (outcome.failed > 0) parts.push(`${outcome.failed} failed`);
  if (outcome.skipped > 0) parts.push(`${outcome.skipped} were left out`);
  if (outcome.notReached > 0) parts.push(`${outcome.notReached} were not reached`);
  if (outcome.open > 0) parts.push(`${outcome.open} are still to come`);
  return `${parts.join(', ')}${head.endedBecause === null ? '' : `; over because ${head.endedBecause}`}.`;
}

/** Alarms by what became of them. */
export function alarmsOf(done: readonly DoneAlarm[]): { delivered: number; lost: DoneAlarm[] } {
  return { delivered: done.filter((d) => d.fault === null).length, lost: done.filter((d) => d.fault !== null) };
}
