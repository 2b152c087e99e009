import { describe, expect, test } from 'vitest';
import type { BuildVerdict, GateCheck, GateKind, GateTiming, MarginMap, TestVoltages, TubeChoice } from '../src/api/types';
import { blamed, countOf, decimalsFor, offBy, readingKey, readingsOf } from '../src/model/buildReadings';
import { chooseRequest, mapRequest, sparesRequest, usualForm, voltagesRequest } from '../src/model/logicForm';
import { chosen, lastOf, marginOf, placing, replaced } from '../src/model/placing';
import { edges, fields, nearest, ticksWithin } from '../src/plot/mapDrawing';
import { wavePlot } from '../src/plot/timingSeries';

const nor = { name: 'nor', says: '', inputs: ['a', 'b'], outputs: ['y'], positions: ['V_y_1', 'V_y_2'], stores: false, loop: [],
  values: { connection: 'pentode', plateOhms: 10_000, screenOhms: 100, stopperOhms: 4_700, upperOhms: 100_000, lowerOhms: 120_000, speedUpPicofarads: 0, cathodeOhms: 22_000 } } satisfies GateKind;
const form = { ...usualForm, gate: 'nor', placed: ['SKUA-001', 'SKUA-002'] };
const check = (numbers: (string | null)[], marginVolts = 1.5): GateCheck => ({
  gate: 'nor', lowVolts: 1, highVolts: 20, thresholdVolts: 8, right: true, marginVolts, inputs: ['a', 'b'], signals: ['y'], outputs: ['y'], rows: [],
  tubes: numbers.map((number, i) => ({ position: nor.positions[i]!, number, type: '6AU6' })), supplyWatts: null, heaterWatts: null, remarks: [],
});

describe('a tube replaced by its spare', () => {
  test('stands where the other stood, and leaves where it stood itself', () => {
    expect(replaced(form, nor, 'V_y_1', 'SKUA-009')).toEqual(['SKUA-009', 'SKUA-002']);
    expect(replaced(form, nor, 'V_y_1', 'SKUA-002')).toEqual(['SKUA-002', '']);
  });

  test('is told with the margin before, and can be undone as long as nothing else was changed', () => {
    const stroke = placing('SKUA-009 in place of SKUA-001', form, nor, ['SKUA-009', 'SKUA-002'], marginOf(check(['SKUA-001', 'SKUA-002']), form, nor))!;
    expect(stroke.marginBefore).toBe(1.5);
    const after = { ...form, placed: ['SKUA-009', 'SKUA-002'] };
    expect(lastOf([stroke], after, nor)).toBe(stroke);
    expect(lastOf([stroke], { ...after, placed: ['SKUA-009', 'SKUA-004'] }, nor)).toBeNull();
    expect(lastOf([stroke], { ...after, plate: '22k' }, nor)).toBeNull();
    expect(placing('nothing', form, nor, ['skua-001', 'SKUA-002'], 1)).toBeNull();
  });

  test('has no margin until the check of the very tubes has come', () => {
    expect(marginOf(check(['SKUA-001', null]), form, nor)).toBeNull();
    expect(marginOf(check(['SKUA-001', null]), { ...form, placed: ['skua-001'] }, nor)).toBe(1.5);
    expect(marginOf(null, form, nor)).toBeNull();
  });
});

test('a choice is put in by place, its runner-up where it differs', () => {
  const choice = { gate: 'nor', tubes: [{ position: 'V_y_2', number: 'SKUA-004', type: null }, { position: 'V_y_1', number: 'SKUA-003', type: null }], runnerUp: { tubes: [{ position: 'V_y_1', number: 'SKUA-008', type: null }], marginVolts: 1 } } as unknown as TubeChoice;
  expect(chosen(choice, nor)).toEqual(['SKUA-003', 'SKUA-004']);
  expect(chosen(choice, nor, true)).toEqual(['SKUA-008', 'SKUA-004']);
});

test('what is asked names the tubes that it is to come from', () => {
  expect(chooseRequest({ ...form, of: 'lot', lot: 'Skua' }, nor, false)).toMatchObject({ gate: 'nor', lot: 'Skua', pinned: {} });
  expect(chooseRequest({ ...form, of: 'tubes', tubes: 'SKUA-002 SKUA-003', placed: ['SKUA-001'] }, nor, true)).toMatchObject({ tubes: ['SKUA-002', 'SKUA-003', 'SKUA-001'], pinned: { V_y_1: 'SKUA-001' } });
  expect(sparesRequest({ ...form, of: 'tubes', tubes: 'SKUA-003' }, nor)).toMatchObject({ tubes: ['SKUA-001', 'SKUA-002'], from: ['SKUA-003'] });
  expect(sparesRequest(form, nor)).not.toHaveProperty('lot');
  expect(mapRequest({ ...form, against: 'bias', mapLimit: '0,5' }, nor)).toMatchObject({ against: 'bias', limitVolts: 0.5 });
  expect(voltagesRequest({ ...form, meter: '1M' }, nor)).toMatchObject({ meterOhms: 1e6 });
});

describe('readings at a build', () => {
  test('are numbers, and what is none is named', () => {
    const typed = { [readingKey('a=0', 'y')]: '12,5', [readingKey('a=1', 'y')]: ' ', [readingKey('a=1', 'g')]: '3 V' };
    expect(readingsOf(typed)).toEqual({ readings: [{ node: 'y', row: 'a=0', volts: 12.5 }], wrong: [{ node: 'g', row: 'a=1', text: '3 V' }] });
    const voltages = { rows: [{ name: 'a=0', set: [], nodes: [{ node: 'y', volts: 12, tolerance: 1 }] }, { name: 'a=1', set: [], nodes: [{ node: 'y', volts: 1, tolerance: 1 }, { node: 'g', volts: 0, tolerance: 1 }] }] } as unknown as TestVoltages;
    expect(countOf(typed, voltages)).toEqual([1, 1]);
  });

  test('fit within the tolerance and are far off beyond it', () => {
    expect(offBy('12.4', { volts: 12, tolerance: 0.5 })).toMatchObject({ far: false });
    expect(offBy('12.6', { volts: 12, tolerance: 0.5 })).toMatchObject({ far: true, volts: expect.closeTo(0.6, 9) as number });
    expect(offBy('12 V', { volts: 12, tolerance: 0.5 })).toBeNull();
    expect(offBy(undefined, { volts: 12, tolerance: 0.5 })).toBeNull();
    expect([1.2, 0.25, 0.03].map(decimalsFor)).toEqual([1, 2, 3]);
  });

  test('blame the parts of the explanations, and none when the build is sound', () => {
    const verdict = { sound: false, explanations: [{ part: 'V_y_1' }, { part: 'Rp_y' }, { part: 'V_y_1' }, { part: '' }] } as unknown as BuildVerdict;
    expect(blamed(verdict)).toEqual(['V_y_1', 'Rp_y']);
    expect(blamed({ ...verdict, sound: true })).toEqual([]);
  });
});

describe('the map', () => {
  const map = { plateVolts: [10, 20, 30], otherVolts: [-20, -10], marginVolts: [[0, 1, 2], [0, 0.05, 4]], limitVolts: 0.1 } as unknown as MarginMap;

  test('has a field around each point, and those below the limit do not work', () => {
    expect(edges(map.plateVolts)).toEqual([5, 15, 25, 35]);
    expect(edges(map.otherVolts)).toEqual([-25, -15, -5]);
    const all = fields(map);
    expect(all.map((f) => f.works)).toEqual([false, true, true, false, false, true]);
    expect(all[5]).toMatchObject({ row: 1, column: 2, x: [25, 35], y: [-15, -5], share: 1 });
    expect(nearest(map.plateVolts, 26)).toBe(2);
  });

  test('has round ticks within its sides', () => {
    expect(ticksWithin(5, 35)).toEqual([5, 10, 15, 20, 25, 30, 35]);
    expect(ticksWithin(-25, -5)).toEqual([-25, -20, -15, -10, -5]);
    for (const [low, high] of [[11.2, 39.2], [-20.8, -2.8], [4, 5]] as const) expect(ticksWithin(low, high).length).toBeLessThanOrEqual(9);
  });
});

test('a path in time is drawn in a unit that suits it, with both edges marked', () => {
  const timing = { lowVolts: 1, highVolts: 21 } as GateTiming;
  const wave = { path: { input: 'a', inputRises: true, output: 'y', outputRises: false, seconds: 0.4e-6, others: '' }, seconds: [-0.8e-6, 0, 2e-6], signals: [{ name: 'a', volts: [1, 11, 21] }, { name: 'y', volts: [20, 20, 1] }] };
  const plot = wavePlot(wave, timing);
  expect(plot.xTitle).toBe('Time, µs');
  expect(plot.drive[2]).toBeCloseTo(2, 9);
  expect(plot.series.map((s) => s.label)).toEqual(['a', 'y', 'half']);
  expect(plot.series[2]!.values[0]).toBe(11);
  expect(plot.pinned.map((p) => p.label)).toEqual(['0', '400 ns']);
  expect(wavePlot({ ...wave, path: null, seconds: [0, 1e-3, 2e-3] }, timing)).toMatchObject({ xTitle: 'Time, ms', pinned: [] });
});
