import { voltsText } from '../src/model/fitWords';
import { describe, expect, test } from 'vitest';
import { decimalsOf, figureText, fixed, ohmsText, sized } from '../src/model/figures';

const figure = (value: number | null, unit: string, expandedUncertainty: number | null) => ({ value, unit, uncertainty: null, expandedUncertainty, mark: null, absentBecause: null });

describe('figures', () => {
  // GUM (JCGM 100:2008) 7.2.6: at most two significant digits of the uncertainty, the estimate rounded to agree with it.
  test.each([
    [5.0172, 'V', 0.0312, '5.02', '0.03'],
    [-2.3456, 'V', 0.0123, '\u22122.346', '0.012'],
    [27.98, 'V', 0.25, '28.0', '0.3'],
    [27.98, 'V', 0.0996, '27.98', '0.10'],
    [-11.4, '1', 0.6, '\u221211.4', '0.6'],
    [1234.5, 'V', 40, '1235', '40'],
    [0.00123, 'A', 0.00002, '1.23', '0.02'],
    [4e-9, 'S', 5.052e-6, '0', '5'],
    [0.00143, 'S', 0.00004, '1.43', '0.04'],
    [27_100, 'Ω', 1_900, '27.1', '1.9'],
    [0.000082, 'V', 0.000022, '82', '22'],
    [0.0512, 'V', 0.0012, '0.0512', '0.0012'],
  ])('%d %s with an uncertainty of %d reads %s ± %s', (value, unit, uncertainty, shown, plusMinus) => {
    const text = figureText(figure(value, unit, uncertainty))!;
    expect([text.value, text.uncertainty]).toEqual([shown, plusMinus]);
  });

  test('a ratio has no unit, a small current has a prefix', () => {
    expect(figureText(figure(-11, '1', 1))!.unit).toBe('');
    expect(figureText(figure(20e-6, 'A', null))!.unit).toBe('µA');
  });

  test('no value, no text', () => {
    expect(figureText(figure(null, 'V', null))).toBeNull();
    expect(figureText(figure(Number.NaN, 'V', null))).toBeNull();
  });

  test.each([[0.00164, 'V', '1.64 mV'], [1, '', '1.00'], [-0.0456, 'V', '\u221245.6 mV'], [164, 'Ω', '164 Ω'], [999.6, 'Ω', '1.00 kΩ'], [0, 'V', '0 V'], [2.5e-7, '', '2.50 × 10^\u22127']])(
    '%d %s has three digits: %s', (value, unit, text) => expect(sized(value, unit)).toBe(text));

  test('minus zero is zero', () => expect(fixed(-0.001, 2)).toBe('0.00'));
  test('an uncertainty of 0 or none asks for no endless digits', () => expect([decimalsOf(0), decimalsOf(Number.NaN)]).toEqual([3, 3]));
  test.each([[4700, '4.7 kΩ'], [100, '100 Ω'], [1e6, '1 MΩ']])('%d ohm reads %s', (ohms, text) => expect(ohmsText(ohms)).toBe(text));
});

describe('volts left over', () => {
  test('keep three digits and a prefix', () => {
    expect([0.0991234, 0.00234, 1.2345, 3.2e-7, 0, null].map(voltsText)).toEqual(['99.1 mV', '2.34 mV', '1.23 V', '320 nV', '0 V', '–']);
  });
});
