import { describe, expect, test } from 'vitest';
import type { PlanDocument } from '../src/api/types';
import { documentOf, formOf, number, ohms, tubeOf } from '../src/model/planForm';

const plan: PlanDocument = {
  format: 'sweep-plan/1', name: 'Pentode at 28 V, far positive',
  drive: { startVolts: -14, stopVolts: 24, points: 191, direction: 'upAndDown' },
  dwellMicroseconds: 2000, averaging: { conversions: 16 }, repeats: 1,
  connection: {
    kind: 'pentode', plateRailVolts: 28, biasRailVolts: -14, heaterVolts: 6.3,
    plateResistorOhms: 10000, screenResistorOhms: 100, gridStopperOhms: 4700,
  },
};

describe('plan form', () => {
  test.each<[string, PlanDocument]>([
    ['plain', plan],
    ['mains', { ...plan, averaging: { mainsPeriods: 1, mainsHertz: 60 }, settle: { toleranceVolts: 0.02, timeoutMicroseconds: 20000 } }],
    ['adaptive', { ...plan, drive: { ...plan.drive, points: 120, direction: 'up' }, adaptive: { switchingUncertaintyVolts: 0.001, firstPoints: 24, batchPoints: 8 } }],
    ['family', { ...plan, secondSource: { source: 'plateRail', fromVolts: 20, toVolts: 28, steps: 5 } }],
  ])('a %s plan comes out as it went in', (_, document) => expect(documentOf(formOf(document))).toEqual(document));

  test('a plan that leaves repeats out runs once', () => {
    const { repeats: _, ...without } = plan;
    expect(documentOf(formOf(without))).toEqual(plan);
  });

  test('what is no number is sent as it was typed, so that the service can refuse it by name', () => {
    const form = { ...formOf(plan), start: 'low', points: '' };
    expect(documentOf(form)).toMatchObject({ drive: { startVolts: 'low', points: '' } });
  });

  test.each([['-14', -14], ['\u221214', -14], [' 2,5 ', 2.5], ['1e3', 1000], ['Infinity', 'Infinity'], ['NaN', 'NaN'], ['', '']])(
    '"%s" reads %s', (typed, read) => expect(number(typed)).toBe(read));

  // IEC 60062: the letter stands for the decimal point and the multiplier.
  test.each([['4700', 4700], ['4.7k', 4700], ['4k7', 4700], ['1M', 1e6], ['2M2', 2.2e6], ['100 Ω', 100], ['10 k', 10000], ['-5', -5], ['4.7k7', '4.7k7'], ['many', 'many']])(
    'resistor "%s" reads %s', (typed, read) => expect(ohms(typed)).toBe(read));

  test('a tube without a lot leaves it out', () =>
    expect(tubeOf({ label: ' SKUA-014 ', type: '6AU6', lot: ' ', socket: '0' })).toEqual({ label: 'SKUA-014', type: '6AU6' }));
});
