import { describe, expect, test } from 'vitest';
import { LiveRun, passesHeld } from '../src/model/liveRun';
import { block, pass, shape } from './build';

describe('live run', () => {
  test('what has not come is null, what has come is in place', () => {
    const run = new LiveRun(shape(pass(0)));
    run.append(block(0, [1, 2]));
    expect(run.passes[0]!.columns.plate).toEqual([null, 11, 12, null, null]);
    expect(run.passes[0]!.columns.gridCurrent).toEqual([null, 3, 3, null, null]);
  });

  test('a down pass lies by rising drive like an up pass', () => {
    const run = new LiveRun(shape(pass(0), pass(1, 'down')));
    run.append(block(0, [0, 1, 2, 3, 4]));
    run.append(block(1, [0, 1], { pass: 1, drive: [0, -1], plate: [5, 6] }));
    expect(run.passes[1]!.columns.plate).toEqual([null, null, null, 6, 5]);
    expect(run.drive).toEqual([-4, -3, -2, -1, 0]);
    expect(run.passes[1]!.newest).toBe(3);
  });

  test('any order and any repetition of blocks give the same curve', () => {
    const blocks = [block(0, [0, 1]), block(1, [2]), block(2, [3, 4])];
    const straight = new LiveRun(shape(pass(0)));
    const mixed = new LiveRun(shape(pass(0)));
    for (const b of blocks) straight.append(b);
    for (const i of [2, 0, 0, 2, 1, 1]) mixed.append(blocks[i]!);
    expect(mixed.passes[0]!.columns).toEqual(straight.passes[0]!.columns);
    expect(mixed.passes[0]!.count).toBe(5);
  });

  test('a jump leaves a gap and says which blocks to fetch, and they close it', () => {
    const run = new LiveRun(shape(pass(0)));
    run.append(block(0, [0]));
    run.append(block(3, [4], { blocks: 2 }));
    expect(run.sequences.firstHole()).toEqual({ from: 1, until: 3 });
    expect(run.passes[0]!.columns.plate).toEqual([10, null, null, null, 14]);
    run.append(block(1, [1, 2, 3], { blocks: 2 }));
    expect(run.sequences.firstHole()).toBeNull();
    expect(run.passes[0]!.columns.plate).toEqual([10, 11, 12, 13, 14]);
  });

  test("another run's block changes nothing", () => {
    const run = new LiveRun(shape(pass(0)));
    expect(run.append(block(0, [0], { runId: 'run-b' }))).toBe(false);
    expect(run.passes).toEqual([]);
  });

  test('a point measured again replaces the first and is counted once', () => {
    const run = new LiveRun(shape(pass(0)));
    run.append(block(0, [2]));
    run.append(block(1, [2], { plate: [7] }));
    expect(run.passes[0]!.columns.plate[2]).toBe(7);
    expect(run.passes[0]!.count).toBe(1);
  });

  test('a channel that is not measured, or not a number, stays null', () => {
    const run = new LiveRun(shape(pass(0)));
    run.append(block(0, [0, 1], { screenCurrent: [], plate: [Number.NaN, 4] }));
    expect(run.passes[0]!.columns.screenCurrent[0]).toBeNull();
    expect(run.passes[0]!.columns.plate.slice(0, 2)).toEqual([null, 4]);
  });

  test('many repeats keep the newest passes and count every block', () => {
    const count = passesHeld + 3;
    const run = new LiveRun(shape(...Array.from({ length: count }, (_, i) => pass(i))));
    for (let i = 0; i < count; i++) run.append(block(i, [0, 1, 2, 3, 4], { pass: i }));
    expect(run.passes.map((p) => p.pass.index)).toEqual(Array.from({ length: passesHeld }, (_, i) => i + 3));
    expect(run.sequences.end).toBe(count);
    expect(() => run.append(block(count, [0], { pass: 0 }))).not.toThrow();
  });

  test('the range of the currents grows with them', () => {
    const run = new LiveRun(shape(pass(0)));
    run.append(block(0, [0, 1], { gridCurrent: [-0.2e-3, 4e-3] }));
    expect(run.currentRange.least).toBeCloseTo(-0.2, 12);
    expect(run.currentRange.greatest).toBeCloseTo(4, 12);
  });

  test.each([
    ['a pass never announced', block(0, [0], { pass: 9 })],
    ['a point past the end of the pass', block(0, [5])],
  ])('%s is a bug of ours and says so', (_, wrong) => {
    expect(() => new LiveRun(shape(pass(0))).append(wrong)).toThrow(/SweepRig bug/);
  });
});
