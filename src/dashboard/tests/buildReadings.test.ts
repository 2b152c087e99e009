import { afterEach, expect, test, vi } from 'vitest';
import { buildKey, keepReadings, keptReadings, readingKey, withReadings, type Builds } from '../src/model/buildReadings';

const typed = { [readingKey('a=0', 'y')]: '12,5' };
const build = buildKey('nor', ['skua-001 ', '']);

function browser(): Map<string, string> {
  const items = new Map<string, string>();
  vi.stubGlobal('localStorage', { getItem: (name: string) => items.get(name) ?? null, setItem: (name: string, text: string) => void items.set(name, text) });
  return items;
}

afterEach(() => vi.unstubAllGlobals());

test('readings come back after a reload, for the gate with the very tubes', () => {
  browser();
  keepReadings(withReadings({}, build, typed));
  expect(keptReadings()![buildKey('nor', ['SKUA-001', ''])]).toEqual(typed);
  for (const other of [buildKey('nor', ['SKUA-002', '']), buildKey('nor', ['', 'SKUA-001']), buildKey('latch', ['SKUA-001', ''])]) expect(keptReadings()![other]).toBeUndefined();
});

test('a build without a reading is forgotten, and of too many the one that was left longest', () => {
  expect(withReadings({ [build]: typed }, build, { [readingKey('a=0', 'y')]: ' ' })).toEqual({});
  let builds: Builds = {};
  for (let n = 0; n < 60; n++) builds = withReadings(withReadings(builds, `gate ${n}`, typed), 'gate 0', typed);
  expect(Object.keys(builds)).toHaveLength(50);
  expect([builds['gate 0'], builds['gate 1'], builds['gate 59']]).toEqual([typed, undefined, typed]);
});

test('what is no reading is left behind, and a browser that keeps nothing says so', () => {
  const items = browser();
  items.set('sweeprig.readings', JSON.stringify({ good: typed, number: { [readingKey('a=0', 'y')]: 12 }, other: { y: '1' }, none: null }));
  expect(keptReadings()).toEqual({ good: typed });
  items.set('sweeprig.readings', '{');
  expect(keptReadings()).toBeNull();
  vi.stubGlobal('localStorage', undefined);
  keepReadings({ build: typed });
  expect(keptReadings()).toBeNull();
});
