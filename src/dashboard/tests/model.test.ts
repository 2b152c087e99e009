import { describe, expect, test } from 'vitest';
import { backOff } from '../src/model/backOff';
import { Delays } from '../src/model/delays';
import { countdown, duration } from '../src/model/durations';
import { currentAxis, decimalsOfStep, roundUp } from '../src/model/ranges';
import { nearestSlot, readingAt } from '../src/model/readings';
import { refusalsByField } from '../src/model/refusals';
import { savedCurve } from '../src/model/savedCurves';
import { mostOverlaid, Selection } from '../src/model/selection';
import { pass } from './build';

describe('readings', () => {
  const drive = [-2, -1, 0, 1];
  test('between two points on a straight line, at a point its own value', () => {
    expect(readingAt(drive, [8, 6, 2, 1], -1.5)).toBe(7);
    expect(readingAt(drive, [8, 6, 2, 1], 0)).toBe(2);
  });
  test('nothing in a gap, nothing beside it, nothing outside', () => {
    const values = [8, null, 2, 1];
    expect([-1.5, -1, -0.5, -3, 2].map((x) => readingAt(drive, values, x))).toEqual([null, null, null, null, null]);
    expect(readingAt(drive, values, -2)).toBe(8);
  });
  test('the nearest slot', () => {
    expect([-9, -1.6, -1.4, 0.5, 9].map((x) => nearestSlot(drive, x))).toEqual([0, 0, 1, 2, 3]);
    expect(nearestSlot([], 0)).toBe(-1);
  });
});

describe('saved curves', () => {
  test('a down pass is turned round, a missing point keeps its place without a value', () => {
    const none = [null, null, null];
    const saved = savedCurve({
      pass: pass(1, 'down', 3), drive: [0, null, -2], plate: [3, null, 9], grid: none, screen: none, supply: none,
      gridCurrent: [1e-3, null, 0], screenCurrent: none, plateCurrent: none, plateUncertainty: [0.1, null, 0.3], gridCurrentUncertainty: [1e-6, null, 2e-6],
      driveUncertainty: none, gridUncertainty: none, screenUncertainty: none, supplyUncertainty: none, screenCurrentUncertainty: none, plateCurrentUncertainty: none,
    });
    expect(saved.drive).toEqual([-2, -1, 0]);
    expect(saved.columns.plate).toEqual([9, null, 3]);
    expect(saved.columns.gridCurrent).toEqual([0, null, 1]);
  });
});

describe('delays', () => {
  test('percentiles by nearest rank', () => {
    const delays = new Delays();
    for (let i = 100; i >= 1; i--) delays.add(i);
    expect([delays.percentile(50), delays.percentile(99), delays.count, delays.newest]).toEqual([50, 99, 100, 1]);
  });
  test('the oldest are let go, the count goes on, clearing starts anew', () => {
    const delays = new Delays(4);
    for (let i = 1; i <= 6; i++) delays.add(i);
    expect([delays.percentile(1), delays.percentile(100), delays.count]).toEqual([3, 6, 6]);
    delays.clear();
    expect([delays.percentile(50), delays.newest, delays.count]).toEqual([null, null, 0]);
  });
});

describe('selection', () => {
  test('eight lie over one another, the ninth is refused with a word, and a freed place is taken again', () => {
    const selection = new Selection();
    for (let i = 0; i < mostOverlaid; i++) expect(selection.add(`run-${i}`)).toBeNull();
    expect(selection.add('run-3')).toBeNull();
    expect(selection.add('run-9')).toMatch(/8 runs/);
    selection.remove('run-3');
    expect(selection.add('run-9')).toBeNull();
    expect(selection.placeOf('run-9')).toBe(3);
    expect(selection.placeOf('run-7')).toBe(7);
  });
});

describe('refusals', () => {
  const at = (path: string) => ({ code: 'c', path, asked: 'a', allowed: 'b', remedy: 'r' });
  test('each goes to its field, else to its parent, else to the general list; none is lost', () => {
    const { at: fields, general } = refusalsByField(
      [at('/plan/drive/points'), at('/plan/drive/points'), at('/plan/averaging/odd'), at('/plan/wrong'), at('')],
      ['/plan/drive/points', '/plan/averaging']);
    expect(fields.get('/plan/drive/points')).toHaveLength(2);
    expect(fields.get('/plan/averaging')).toHaveLength(1);
    expect(general).toHaveLength(2);
  });
});

describe('small words and numbers', () => {
  test.each([[0, '0 s'], [4.2, '5 s'], [60, '1 min 00 s'], [3725, '1 h 02 min'], [-3, '0 s']])('%d s reads %s', (s, t) => expect(duration(s)).toBe(t));
  test.each([[299.1, '5:00'], [61, '1:01'], [0, '0:00']])('%d s counts down as %s', (s, t) => expect(countdown(s)).toBe(t));
  test.each([[0.7, 1], [1.2, 2], [2.1, 2.5], [30, 50], [100, 100], [0, 0]])('%d rounds up to %d', (value, round) => expect(roundUp(value)).toBeCloseTo(round, 12));
  test.each([[2.5, 1], [5, 0], [0.25, 2], [0.1, 1], [20, 0]])('ticks %d apart need %d decimals', (step, decimals) => expect(decimalsOfStep(step)).toBe(decimals));
  test('a current axis holds all values and does not creep with each of them', () => {
    expect(currentAxis(0, 2.1)[1]).toBe(currentAxis(0, 2.4)[1]);
    const [bottom, top] = currentAxis(-0.4, 3);
    expect(bottom).toBeLessThanOrEqual(-0.4);
    expect(top).toBeGreaterThanOrEqual(3);
  });
  test('tries go on for ever, at most 5 s apart', () => expect([0, 1, 4, 5, 1000].map(backOff)).toEqual([0, 250, 2000, 5000, 5000]));
});
