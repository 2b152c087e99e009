import { voltsText } from '../src/model/fitWords';
import { describe, expect, test } from 'vitest';
import { decimalsOf, figureText, fixed, ohmsText } from '../src/model/figures';

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

  test('minus zero is zero', () => expect(fixed(-0.001, 2)).toBe('0.00'));
  test('an uncertainty of 0 or none asks for no endless digits', () => expect([decimalsOf(0), decimalsOf(Number.NaN)]).toEqual([3, 3]));
  test.each([[4700, '4.7 kΩ'], [100, '100 Ω'], [1e6, '1 MΩ']])('%d ohm reads %s', (ohms, text) => expect(ohmsText(ohms)).toBe(text));
});

describe('volts left over', () => {
  test('keep three digits and a prefix', () => {
    expect([0.0991234, 0.00234, 1.2345, 3.2e-7, 0, null].map(voltsText)).toEqual(['99.1 mV', '2.34 mV', '1.23 V', '320 nV', '0 V', '–']);
  });
});
