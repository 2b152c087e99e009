import { describe, expect, test } from 'vitest';
import { Bursts, scannerGap } from '../src/model/scanner';
import { changesOf, conditionsOf, labelRange, tubeNumber } from '../src/model/stock';

/** Keys one after another, each so many milliseconds after the one before. */
function typed(text: string, gap: number, bursts = new Bursts()): string | null {
  let at = 1_000;
  let got: string | null = null;
  for (const key of [...text, 'Enter']) got = bursts.take(key, (at += gap));
  return got;
}

describe('a scanner', () => {
  test('is told from a person by its haste', () => {
    expect(typed('SKUA-014', 5)).toBe('SKUA-014');
    expect(typed('SKUA-014', scannerGap)).toBe('SKUA-014');
    expect(typed('SKUA-014', scannerGap + 1)).toBeNull();
  });

  test('begins anew after a pause, and Shift before a capital letter is no key of its own', () => {
    const bursts = new Bursts();
    bursts.take('x', 0);
    let at = 1_000;
    for (const key of ['Shift', 'A', '-', '0', '0', '1']) bursts.take(key, (at += 3));
    expect(bursts.running).toBe(true);
    expect(bursts.take('Enter', at + 3)).toBe('A-001');
    expect(bursts.running).toBe(false);
  });

  test('is not an Enter by itself, nor one letter and Enter, nor a burst with an arrow in it', () => {
    const bursts = new Bursts();
    expect(bursts.take('Enter', 0)).toBeNull();
    expect(typed('a', 5)).toBeNull();
    let at = 5_000;
    for (const key of ['A', 'B', 'ArrowLeft']) bursts.take(key, (at += 5));
    expect(bursts.take('Enter', at + 5)).toBeNull();
  });
});

test('numbers are taken as they are written on tubes, and nothing else', () => {
  expect(tubeNumber(' skua-014\r')).toBe('SKUA-014');
  expect(tubeNumber('A-012/2')).toBe('A-012/2');
  for (const no of ['', 'SKUA', '014', 'SKUA-14', 'SKUA 014', 'https://x-001', 'ABCDEFGHIJKLM-001']) expect(tubeNumber(no), no).toBeNull();
});

test('only what can happen to a tube is offered', () => {
  expect(changesOf('new')).toEqual(['note', 'move', 'identify', 'use', 'retire']);
  expect(changesOf('in use')).toEqual(['note', 'move', 'identify', 'free', 'retire']);
  expect(changesOf('retired')).toEqual(['note', 'return']);
});

test('conditions of an address become a query; what is no condition or empty does not', () => {
  expect(conditionsOf(new URLSearchParams('tube=SKUA-014&state=in use&find= &lot=Petrel, mixed box'))).toBe('lot=Petrel%2C+mixed+box&state=in+use');
  expect(conditionsOf(new URLSearchParams('tube=SKUA-014'))).toBe('');
});

test('numbers booked in are told as a range', () => {
  expect(labelRange([])).toBe('');
  expect(labelRange(['SKUA-001'])).toBe('SKUA-001');
  expect(labelRange(['SKUA-001', 'SKUA-002', 'SKUA-003'])).toBe('SKUA-001 to SKUA-003');
});
