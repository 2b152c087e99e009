import type { Refusal } from './types';

/** What the service answered: what was asked for, or every reason why not. A fault of the way there is a refusal too. */
export type Outcome<T> = { ok: true; value: T } | { ok: false; refusals: Refusal[]; title: string };

/** Milliseconds that an answer may take. A way to the service that hangs, as a sleeping machine or a dead tunnel does, must not hang the page. */
const patience = 15_000;

interface Asking {
  body?: unknown;
  signal?: AbortSignal;
  within?: number;
}

export async function call<T>(method: string, path: string, asking: Asking = {}): Promise<Outcome<T>> {
  const answer = await answered(method, path, asking, (response) => response.text());
  return answer.ok ? { ok: true, value: (answer.value === '' ? undefined : JSON.parse(answer.value)) as T } : answer;
}

/** Asks for what is no JSON: a drawing, a file. @param read takes it out of the answer */
export const took = <T>(path: string, asking: Asking, read: (response: Response) => Promise<T>): Promise<Outcome<T>> => answered('POST', path, asking, read);

async function answered<T>(method: string, path: string, { body, signal, within = patience }: Asking, read: (response: Response) => Promise<T>): Promise<Outcome<T>> {
  const tooLate = AbortSignal.timeout(within);
  let text: string;
  let status: number;
  try {
    const response = await fetch(`/api${path}`, {
      method,
      ...(body === undefined ? {} : { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } }),
      signal: signal === undefined ? tooLate : AbortSignal.any([signal, tooLate]),
    });
    if (response.ok) return { ok: true, value: await read(response) };
    [status, text] = [response.status, await response.text()];
  } catch (fault) {
    if (signal?.aborted) throw fault;
    return failed('unreachable', 'The service does not answer', 'Check that `sweeprig serve` runs, then try again.');
  }
  try {
    const problem = JSON.parse(text) as { title?: string; detail?: string; refusals?: Refusal[] };
    if (problem.refusals !== undefined && problem.refusals.length > 0) {
      return { ok: false, title: problem.title ?? 'Refused', refusals: problem.refusals };
    }
    return failed('fault', problem.title ?? `The service answered ${status}`, problem.detail ?? '');
  } catch {
    return failed('fault', `The service answered ${status} to ${method} ${path}`, 'Look at its log.');
  }
}

function failed(code: string, asked: string, remedy: string): { ok: false; refusals: Refusal[]; title: string } {
  return { ok: false, title: asked, refusals: [{ code, path: '', asked, allowed: '', remedy }] };
}
