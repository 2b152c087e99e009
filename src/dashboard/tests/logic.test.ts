import { describe, expect, test } from 'vitest';
import { drawingStyle } from '../src/model/drawing';
import type { GateKind, Stage, ValueSearch } from '../src/api/types';
import { fillRequest, formOf, formQuery, gateRequest, isUsual, numbers, ohmsTyped, pairRequest, placesOf, searchRequest, stageRequest, usualForm, withFound, withGate, withPair } from '../src/model/logicForm';
import { at, eyes, ticks, transferMarks, transferSeries } from '../src/plot/logicSeries';

const latch = { name: 'latch', says: '', inputs: ['set', 'reset'], outputs: ['q', 'p'], positions: ['V_q_1', 'V_q_2', 'V_p_1', 'V_p_2'], stores: true, loop: ['V_q_2', 'V_p_2'],
  values: { connection: 'pentode', plateOhms: 10_000, screenOhms: 100, stopperOhms: 4_700, upperOhms: 100_000, lowerOhms: 120_000, speedUpPicofarads: 0, cathodeOhms: 22_000 } } satisfies GateKind;
const nand = { ...latch, name: 'nand-at-grid', stores: false, loop: [], values: { ...latch.values, lowerOhms: 33_000 } } satisfies GateKind;

const stage = (curves: number): Stage => ({
  inputVolts: [0, 10, 20], curves: Array.from({ length: curves }, () => ({ tube: 'SKUA-001', outputVolts: [20, 10, 2], lowVolts: 2, highVolts: 20, inputLowVolts: 4, inputHighVolts: 15, margin: 3, marked: null })),
  lowestVolts: [20, 10, 2], highestVolts: [22, 12, 4], levels: { restores: true, lowVolts: 4, highVolts: 18, thresholdVolts: 10, loopGain: 4 },
  margins: { inputLow: 5, inputHigh: 15, low: 1, high: 3, square: 3, squareInput: 4, squareOutput: 12, says: null },
  burden: { gridAmperes: 0, plateWatts: 0, screenWatts: 0, cathodeAmperes: 0, resistorWatts: 0 }, low: null, high: null, notSwept: [], remarks: [],
});

describe('what is typed', () => {
  test('goes into the address and comes back, and what is usual is left out', () => {
    expect(formQuery(usualForm).toString()).toBe('');
    const form = { ...usualForm, gate: 'latch', of: 'lot' as const, lot: 'Skua', plate: '22k', placed: ['SKUA-001', '', ' SKUA-002'] };
    expect(formOf(formQuery(form))).toEqual({ ...form, placed: ['SKUA-001', '', 'SKUA-002'] });
  });

  test('an address with words that are none begins with what is usual', () => {
    const form = formOf(new URLSearchParams('of=crate&connection=hexode&gate=latch'));
    expect([form.of, form.connection, form.gate]).toEqual(['example', 'pentode', 'latch']);
  });

  test('becomes numbers with their units, and a word stays for the service to refuse', () => {
    expect(stageRequest({ ...usualForm, plate: '4k7', upper: 'many', plateRail: '28,5' })).toMatchObject({ rails: { plateVolts: 28.5, biasVolts: -14 }, values: { plateOhms: 4700, upperOhms: 'many' }, fanOut: 1 });
    expect(searchRequest({ ...usualForm, gridLimit: '50', plateLimit: '' })).toMatchObject({ limits: { gridAmperes: expect.closeTo(50e-6, 12) as number, plateWatts: null } });
    expect(stageRequest({ ...usualForm, of: 'tubes', tubes: 'SKUA-001, SKUA-002;SKUA-003' })).toMatchObject({ tubes: ['SKUA-001', 'SKUA-002', 'SKUA-003'] });
    expect(pairRequest({ ...usualForm, fanOut: '0' })).toMatchObject({ fanOut: 1 });
    expect(numbers('  ')).toEqual([]);
  });

  test('a place that is empty is asked for with the example tube', () => {
    expect(gateRequest({ ...usualForm, gate: 'latch', placed: ['SKUA-001'] }, latch)).toMatchObject({ gate: 'latch', tubes: ['SKUA-001', null, null, null] });
  });
});

describe('another gate', () => {
  test('brings its own values with it and takes them away again, without tubes', () => {
    const there = withGate({ ...usualForm, gate: 'latch', placed: ['SKUA-001'] }, latch, nand);
    expect(there).toMatchObject({ gate: 'nand-at-grid', lower: '33k', upper: '100k', placed: [] });
    expect(isUsual(there, nand)).toBe(true);
    expect(withGate(there, nand, latch)).toEqual({ ...usualForm, gate: 'latch' });
    expect(stageRequest(there)).toMatchObject({ gate: 'nand-at-grid', values: { lowerOhms: 33_000 } });
  });

  test('leaves what somebody changed, and says that it is not usual', () => {
    const there = withGate({ ...usualForm, gate: 'latch', lower: '150k', plate: '22k' }, latch, nand);
    expect(there).toMatchObject({ lower: '150k', plate: '22k' });
    expect(isUsual(there, nand)).toBe(false);
  });
});

describe('tubes at their places', () => {
  test('a pair goes where the gate holds itself and leaves where it stood', () => {
    const form = withPair({ ...usualForm, placed: ['SKUA-002', 'SKUA-009', '', 'SKUA-001'] }, latch, 'SKUA-001', 'SKUA-002');
    expect(placesOf(form, latch)).toEqual(['', 'SKUA-001', '', 'SKUA-002']);
  });

  test('empty places are asked for in the order that is wanted', () => {
    expect(fillRequest({ ...usualForm, gate: 'latch', placed: ['', 'SKUA-001'] }, latch, ['SKUA-002', 'SKUA-003'])).toMatchObject({ tubes: [null, 'SKUA-001', null, null], first: ['SKUA-002', 'SKUA-003'] });
  });
});

test('values that were found are typed as they are marked', () => {
  const found = { values: { ...{ connection: 'pentode' as const, screenOhms: 100, stopperOhms: 4700, speedUpPicofarads: 0, cathodeOhms: 22000 }, plateOhms: 47000, upperOhms: 330000, lowerOhms: 1_200_000 } } as ValueSearch;
  expect(withFound(usualForm, found)).toMatchObject({ plate: '47k', upper: '330k', lower: '1.2M' });
  expect([680, 4700, 1e6].map(ohmsTyped)).toEqual(['680', '4.7k', '1M']);
});

describe('the plots', () => {
  test('one tube is a line, several are a band', () => {
    expect(transferSeries(stage(1)).series.map((s) => s.label)).toEqual(['output', 'in = out']);
    expect(transferSeries(stage(3))).toMatchObject({ band: [0, 1] });
  });

  test('levels and points of gain -1 lie on the curve that is the worst for them', () => {
    expect(at(stage(1), [20, 10, 2], 15)).toBeCloseTo(6, 9);
    expect(transferMarks(stage(2)).map((m) => [m.label, m.x, m.y])).toEqual([['VIL', 5, 15], ['VIH', 15, 8], ['high', 4, 16], ['low', 18, expect.closeTo(5.6, 9) as number]]);
  });

  test('the second square is the mirror image of the first', () => {
    expect(eyes(stage(1))).toEqual([{ x: 4, y: 12, side: 3 }, { x: 12, y: 4, side: 3 }]);
    expect(eyes({ ...stage(1), margins: { ...stage(1).margins, square: 0 } })).toEqual([]);
  });

  test('an axis has at most nine ticks', () => {
    expect(ticks(28)).toEqual([0, 5, 10, 15, 20, 25]);
    for (const highest of [3, 12, 45, 60]) expect(ticks(highest).length).toBeLessThanOrEqual(9);
  });
});

test('a drawing is as wide as it was drawn, and is scrolled before it cannot be read', () => {
  expect(drawingStyle('<svg viewBox="0 0 310.4 250" role="img">')).toBe('width: 311px; max-width: 100%; min-width: 249px');
  expect(drawingStyle('<svg viewBox="0 0 980 610">')).toBe('width: 980px; max-width: 100%; min-width: 784px');
  expect(drawingStyle('<svg>')).toBe('width: 100%');
});
