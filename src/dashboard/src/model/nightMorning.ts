import type { Bench, BenchEvent, NightHead, NightStep } from '../api/types';

/** How the bench stands, in one word and a sentence. */
export interface BenchNow { shape: string; word: string; tone: 'good' | 'heed' | 'tripped' | 'off'; tells: string }

export function benchNow(bench: Bench | null, lost: boolean): BenchNow {
  if (lost || bench === null) return { shape: '▲', word: 'Not known', tone: 'heed', tells: 'The page has no word from the service; a rig makes itself safe when the service falls silent.' };
  if (bench.trip !== null) return { shape: '⬣', word: 'Tripped', tone: 'tripped', tells: `${bench.trip.title}. Grid at the most negative bias, supplies off.` };
  if (bench.link !== 'connected') return { shape: '▲', word: 'Rig away', tone: 'heed', tells: bench.linkFault ?? `${bench.rigName} is looked for.` };
  if (bench.run !== null) return { shape: '▶', word: 'A run is under way', tone: 'good', tells: `${bench.rigName} sweeps in socket ${bench.socket}.` };
  if (bench.heater.on) return { shape: '●', word: 'Well, heaters on', tone: 'heed', tells: 'No run is under way and nothing tripped. Bulbs are hot.' };
  return { shape: '●', word: 'Well and at rest', tone: 'good', tells: 'Nothing tripped, heaters off, no run under way. Bulbs may still be warm.' };
}

export interface Outcome { steps: number; passed: number; failed: number; skipped: number; notReached: number; open: number }

export function outcomeOf(steps: readonly NightStep[]): Outcome {
  const of = (...states: NightStep['state'][]): number => steps.filter((s) => states.includes(s.state)).length;
  return { steps: steps.length, passed: of('passed'), failed: of('failed'), skipped: of('skipped'), notReached: of('not-reached'), open: of('waiting', 'running') };
}

/** Something to do, with what it is about; the same remedy for many things is said once. */
export interface ToDo { what: string; remedy: string; times: number; tube: string | null; runId: string | null }

/** What to do first: what stands now, then alarms, then warnings, each newest first. A trip that was released, a rig that is back and a hold of a night that is over need nothing. */
export function firstOf(bench: Bench | null, events: readonly BenchEvent[], over: boolean): ToDo[] {
  const found: ToDo[] = [];
  const add = (what: string, remedy: string, tube: string | null, runId: string | null): void => {
    const same = found.find((f) => f.remedy === remedy && f.tube === tube);
    if (same !== undefined) same.times++;
    else found.push({ what, remedy, times: 1, tube, runId });
  };
  if (bench?.trip != null) add(`Tripped: ${bench.trip.title}`, bench.trip.remedy ?? '', null, null);
  if (bench !== null && bench.link !== 'connected') add(`${bench.rigName} is not connected`, bench.linkFault ?? 'Check its cable and power.', null, null);
  const gone = (e: BenchEvent): boolean => (e.kind === 'trip' && bench?.trip == null) || (e.kind === 'rig-gone' && bench?.link === 'connected') || (e.kind === 'night-late' && over);
  for (const severity of ['alarm', 'warning'])
    for (const e of events) if (e.severity === severity && e.remedy !== '' && !gone(e)) add(e.text, e.remedy, e.tube, e.runId);
  return found;
}

/** Events of some kinds, the oldest first, as they are told. */
export const told = (events: readonly BenchEvent[], ...kinds: string[]): BenchEvent[] => events.filter((e) => kinds.includes(e.kind)).toReversed();

/** Kinds with how often each came, the most frequent first. */
export function kindsOf(events: readonly BenchEvent[]): [string, number][] {
  const counts = new Map<string, number>();
  for (const e of events) counts.set(e.kind, (counts.get(e.kind) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1]);
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
