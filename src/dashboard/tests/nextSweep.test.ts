import { describe, expect, test } from 'vitest';
import { uncertaintyText, wantedChoices } from '../src/model/nextSweep';

describe('next sweep', () => {
  // Two digits, as the GUM (JCGM 100:2008) 7.2.6 asks of an uncertainty at most.
  test.each([
    [0.000202, 'V', '202 µV'], [0.0123, 'V', '12 mV'], [0.0059, 'A', '5.9 mA'], [1.26, 'V', '1.3 V'],
    [0.029, '1', '2.9 %'], [0.00227, '1', '0.23 %'], [0.31, '1', '31 %'], [0.00012, 'A/V^1.5', '1.2e-4 A/V^1.5'], [0, 'V', '0 V'],
  ])('%d %s reads %s', (value, unit, text) => expect(uncertaintyText(value, unit)).toBe(text));

  test('constants are offered by the titles that the fit gives them', () => {
    const constant = { name: 'screenMu', title: 'Amplification factor, grid to screen', figure: { value: 36, unit: '1', uncertainty: null, expandedUncertainty: null, mark: null, absentBecause: null }, low: null, high: null, needed: null };
    expect(wantedChoices([]).map(([word]) => word)).toEqual(['switching', 'output', 'everything']);
    expect(wantedChoices([constant]).at(-1)).toEqual(['screenMu', 'Amplification factor, grid to screen']);
  });
});
