import type {
  Bench, Blocks, CheckedPlan, Curves, Permit, PlanExample, Refusal, Run, RunLevels, RunList,
} from './types';

/** What the service answered: what was asked for, or every reason why not. A fault of the way there is a refusal too. */
export type Outcome<T> = { ok: true; value: T } | { ok: false; refusals: Refusal[]; title: string };

async function call<T>(method: string, path: string, body?: unknown, signal?: AbortSignal): Promise<Outcome<T>> {
  let response: Response;
  try {
    response = await fetch(`/api${path}`, {
      method,
      ...(body === undefined ? {} : { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } }),
      ...(signal === undefined ? {} : { signal }),
    });
  } catch (fault) {
    if (signal?.aborted) throw fault;
    return failed('unreachable', 'The service does not answer', 'Check that `sweeprig serve` runs, then try again.');
  }
  const text = await response.text();
  if (response.ok) return { ok: true, value: (text === '' ? undefined : JSON.parse(text)) as T };
  try {
    const problem = JSON.parse(text) as { title?: string; detail?: string; refusals?: Refusal[] };
    if (problem.refusals !== undefined && problem.refusals.length > 0) {
      return { ok: false, title: problem.title ?? 'Refused', refusals: problem.refusals };
    }
    return failed('fault', problem.title ?? `The service answered ${response.status}`, problem.detail ?? '');
  } catch {
    return failed('fault', `The service answered ${response.status} to ${method} ${path}`, 'Look at its log.');
  }
}

function failed(code: string, asked: string, remedy: string): { ok: false; refusals: Refusal[]; title: string } {
  return { ok: false, title: asked, refusals: [{ code, path: '', asked, allowed: '', remedy }] };
}

const run = (id: string) => `/runs/${encodeURIComponent(id)}`;

export const api = {
  bench: () => call<Bench>('GET', '/bench'),
  makeSafe: (reason: string) => call<Bench>('POST', '/bench/safe', { reason }),
  acknowledge: () => call<Bench>('POST', '/bench/acknowledge'),
  stop: () => call<Bench>('POST', '/bench/stop'),
  heater: (on: boolean, volts: number | null) => call<Bench>('POST', '/bench/heater', { on, volts }),
  permit: (ceilingVolts: unknown, durationSeconds: unknown, reason: string) =>
    call<Permit>('POST', '/bench/permit', { ceilingVolts, durationSeconds, reason }),
  endPermit: () => call<Bench>('DELETE', '/bench/permit'),
  examples: () => call<PlanExample[]>('GET', '/plans/examples'),
  check: (plan: unknown, tube: unknown, socket: unknown, signal: AbortSignal) =>
    call<CheckedPlan>('POST', '/plans/check', { plan, tube, socket }, signal),
  start: (plan: unknown, tube: unknown, socket: unknown) => call<Run>('POST', '/runs', { plan, tube, socket }),
  runs: (limit: number, olderThan: string | null) =>
    call<RunList>('GET', `/runs?limit=${limit}${olderThan === null ? '' : `&olderThan=${encodeURIComponent(olderThan)}`}`),
  run: (id: string) => call<Run>('GET', run(id)),
  curves: (id: string) => call<Curves>('GET', `${run(id)}/curves`),
  levels: (id: string) => call<RunLevels>('GET', `${run(id)}/levels`),
  blocks: (id: string, from: number) => call<Blocks>('GET', `${run(id)}/blocks?from=${from}`),
  csvAddress: (id: string) => `/api${run(id)}/export.csv`,
};
