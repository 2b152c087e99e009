import { afterEach, describe, expect, test, vi } from 'vitest';
import { api } from '../src/api/client';

const unreachable = { ok: false, refusals: [{ code: 'unreachable' }] };

/** A way to the service that hangs: nothing comes until whoever asked gives up. */
const hanging = (_: unknown, { signal }: RequestInit): Promise<Response> =>
  new Promise((_, reject) => signal!.addEventListener('abort', () => reject(signal!.reason as Error)));

/** AbortSignal.timeout is not among the clocks that vitest can hold. */
function holdTimeouts(): void {
  vi.spyOn(AbortSignal, 'timeout').mockImplementation((milliseconds) => {
    const late = new AbortController();
    setTimeout(() => late.abort(new DOMException('Too late', 'TimeoutError')), milliseconds);
    return late.signal;
  });
}

afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  vi.useRealTimers();
});

describe('asking the service', () => {
  test('a way there that hangs is given up, soonest for make safe', async () => {
    vi.useFakeTimers();
    holdTimeouts();
    vi.stubGlobal('fetch', hanging);
    const answers: string[] = [];
    void api.makeSafe('test').then((a) => answers.push(a.ok ? 'safe' : `safe ${a.refusals[0]!.code}`));
    void api.bench().then((a) => answers.push(a.ok ? 'bench' : `bench ${a.refusals[0]!.code}`));
    await vi.advanceTimersByTimeAsync(2_500);
    expect(answers).toEqual(['safe unreachable']);
    await vi.advanceTimersByTimeAsync(20_000);
    expect(answers).toEqual(['safe unreachable', 'bench unreachable']);
  });

  test('an answer that breaks off in the middle is one that did not come', async () => {
    const broken = new ReadableStream({ pull: (into) => into.error(new TypeError('network error')) });
    vi.stubGlobal('fetch', () => Promise.resolve(new Response(broken, { status: 200 })));
    expect(await api.bench()).toMatchObject(unreachable);
  });

  test('who gives up by himself hears of it as such', async () => {
    vi.stubGlobal('fetch', hanging);
    const mine = new AbortController();
    const asked = api.check({}, {}, 0, mine.signal);
    mine.abort();
    await expect(asked).rejects.toThrow();
  });
});
