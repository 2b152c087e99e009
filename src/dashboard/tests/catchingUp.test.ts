import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import type { Block, Run } from '../src/api/types';
import { ShownRun } from '../src/state/shownRun';
import { block, pass, shape } from './build';

/** A service with one run on record, which a test can make unreachable. */
const service = vi.hoisted(() => ({ reached: true, state: 'running', blocks: [] as unknown[], asked: 0, diesAt: Infinity }));
const nothing = { ok: false, title: '', refusals: [{ code: 'unreachable' }] };

vi.mock('../src/api/client', () => ({
  api: {
    run: () => Promise.resolve(service.reached ? { ok: true, value: { id: 'run-a', state: service.state } } : nothing),
    blocks: (_: string, from: number) => {
      if (++service.asked >= service.diesAt) service.reached = false;
      const blocks = (service.blocks as Block[]).filter((b) => b.sequence >= from);
      return Promise.resolve(service.reached ? { ok: true, value: { blocks: blocks.slice(0, 2), nextSequence: blocks[2]?.sequence ?? null } } : nothing);
    },
  },
}));

const five = [0, 1, 2, 3, 4].map((n) => block(n, [n]));
const wholeCurve = [10, 11, 12, 13, 14];
let run: ShownRun;
let states: string[];
const settle = (wanted = (): boolean => true): Promise<boolean> => run.settle(wanted, (found: Run) => states.push(found.state));

beforeEach(() => {
  vi.useFakeTimers();
  Object.assign(service, { reached: true, state: 'running', blocks: five, asked: 0, diesAt: Infinity });
  run = new ShownRun(shape(pass(0)), () => {});
  states = [];
});

afterEach(() => vi.useRealTimers());

describe('catching up with a run', () => {
  test('one that ended while the page was away is had to its last point', async () => {
    run.take(five[0]!);
    service.state = 'complete';
    expect(await settle()).toBe(true);
    expect(states).toEqual(['complete']);
    expect(run.live.passes[0]!.columns.plate).toEqual(wholeCurve);
  });

  test('a service that does not answer is asked again until it does', async () => {
    service.reached = false;
    service.state = 'complete';
    const settled = settle();
    await vi.advanceTimersByTimeAsync(3_000);
    expect(run.live.passes).toEqual([]);
    service.reached = true;
    await vi.advanceTimersByTimeAsync(5_000);
    expect(await settled).toBe(true);
    expect(run.live.passes[0]!.columns.plate).toEqual(wholeCurve);
  });

  test('a network that dies between two pages leaves no end that is called whole', async () => {
    run.take(five[0]!);
    service.state = 'complete';
    service.diesAt = 2;
    const settled = settle();
    await vi.advanceTimersByTimeAsync(600);
    expect(run.live.passes[0]!.count).toBe(3);
    Object.assign(service, { reached: true, diesAt: Infinity });
    await vi.advanceTimersByTimeAsync(5_000);
    expect(await settled).toBe(true);
    expect(run.live.passes[0]!.columns.plate).toEqual(wholeCurve);
  });

  test('one still under way is not over', async () => {
    expect(await settle()).toBe(false);
    expect(run.live.passes[0]!.count).toBe(5);
  });

  test('a run that nobody looks at any more is not asked for', async () => {
    service.reached = false;
    let looks = 2;
    const settled = settle(() => looks-- > 0);
    await vi.advanceTimersByTimeAsync(60_000);
    expect(await settled).toBe(false);
    expect(service.asked).toBe(2);
  });

  test('two who ask at once get the same answer, and the record is read to its end', async () => {
    run.take(five[0]!);
    const [first, second] = await Promise.all([run.catchUp(), run.catchUp()]);
    expect([first, second]).toEqual([true, true]);
    expect(run.live.passes[0]!.columns.plate).toEqual(wholeCurve);
  });
});
