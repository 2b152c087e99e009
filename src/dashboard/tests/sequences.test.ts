import { describe, expect, test } from 'vitest';
import { Sequences } from '../src/model/sequences';

describe('sequences', () => {
  test('a run without loss has no hole', () => {
    const s = new Sequences();
    for (let n = 0; n < 10; n++) expect(s.add(n, n + 1)).toBe(true);
    expect(s.firstHole()).toBeNull();
    expect(s.end).toBe(10);
  });

  test('a first block that is not number 0 leaves a hole before it', () => {
    const s = new Sequences();
    s.add(3, 4);
    expect(s.firstHole()).toEqual({ from: 0, until: 3 });
  });

  test('a duplicate is known as one, also inside a longer range', () => {
    const s = new Sequences();
    s.add(0, 4);
    expect(s.add(1, 3)).toBe(false);
    expect(s.add(0, 4)).toBe(false);
    expect(s.add(3, 5)).toBe(true);
    expect(s.end).toBe(5);
  });

  test.each(permutations([0, 1, 2, 3]).map((order) => [order]))('order %j closes to one range, holes known on the way', (order) => {
    const s = new Sequences();
    const come = new Set<number>();
    for (const n of order) {
      s.add(n, n + 1);
      come.add(n);
      const top = Math.max(...come);
      const missing = [...Array(top).keys()].filter((m) => !come.has(m));
      expect(s.firstHole()?.from ?? null).toBe(missing[0] ?? null);
    }
    expect(s.firstHole()).toBeNull();
    expect(s.end).toBe(4);
  });

  test('a range over several holes closes them all', () => {
    const s = new Sequences();
    for (const n of [0, 2, 4, 6]) s.add(n, n + 1);
    s.add(1, 6);
    expect(s.firstHole()).toBeNull();
  });

  test.each([[-1, 2], [2, 2], [3, 1], [Number.NaN, 2]])('range %d to %d is a bug of ours and says so', (from, until) => {
    expect(() => new Sequences().add(from, until)).toThrow(/SweepRig bug/);
  });
});

function permutations<T>(items: T[]): T[][] {
  if (items.length <= 1) return [items];
  return items.flatMap((item, i) => permutations(items.toSpliced(i, 1)).map((rest) => [item, ...rest]));
}
