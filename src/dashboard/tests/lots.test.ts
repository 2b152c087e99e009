import { describe, expect, test } from 'vitest';
import type { Drift, LotFigures, RoundAsk } from '../src/api/types';
import { emptyGrades, gradesDocument, hasLimit, ofGrade, ofLimit, ofNone } from '../src/model/gradeForm';
import { asideLine, entryWords, tapped } from '../src/model/roundWords';
import { axisScale, axisTitle } from '../src/model/scales';
import { driftSeries } from '../src/plot/driftSeries';
import { dotsOf, histogramSeries, nearestDot, rangeOf } from '../src/plot/lotSeries';

const refusal = (path: string) => ({ code: 'c', path, asked: 'a', allowed: 'b', remedy: 'r' });

describe('grades as they are typed', () => {
  test('become the document, an end left empty being no limit and a word staying for the service to refuse', () => {
    const form = emptyGrades();
    expect(hasLimit(form)).toBe(false);
    form.grades[0]!.limits[0]!.highest = ' 8,5';
    form.grades.push({ name: 'second ', limits: [{ quantity: 'pentode.vol', lowest: 'low', highest: '' }] });
    expect(hasLimit(form)).toBe(true);
    expect(gradesDocument(form, () => 'V')).toEqual({
      format: 'grades/1', guard: 1,
      grades: [{ name: 'first', limits: [{ quantity: 'pentode.vol', unit: 'V', highest: 8.5 }] }, { name: 'second', limits: [{ quantity: 'pentode.vol', unit: 'V', lowest: 'low' }] }],
    });
  });

  test('each refusal stands at its line, at its grade, or below all, and at one place only', () => {
    const all = [refusal('/grades/0/limits/1/lowest'), refusal('/grades/0/limits/10'), refusal('/grades/0/name'), refusal('/guard'), refusal('')];
    expect(ofLimit(all, 0, 1)).toEqual([all[0]]);
    expect(ofLimit(all, 0, 10)).toEqual([all[1]]);
    expect(ofGrade(all, 0)).toEqual([all[2]]);
    expect(ofNone(all)).toEqual([all[3], all[4]]);
  });
});

test('an axis takes the prefix that its values need, and its quantity as a title', () => {
  expect(axisScale([2e-6, -3e-5], 'A')).toEqual([1e-6, 'µA']);
  expect(axisScale([0.4, 12], 'V')).toEqual([1, 'V']);
  expect(axisScale([0.2], 'V')).toEqual([1, 'V']);
  expect(axisScale([], 'V')).toEqual([1, 'V']);
  expect(axisScale([40], '1')).toEqual([1, '']);
  expect(axisTitle('pentode.switching-drive', 'V')).toBe('Switching drive, pentode, V');
  expect(axisTitle('triode.vol', 'V')).toBe('VOL, triode, V');
  expect(axisTitle('fit.plate-mu', '')).toBe('Plate mu');
});

describe('plots of a lot', () => {
  test('a histogram is a stepped line whose points run strictly to the right', () => {
    const plotted = histogramSeries({ start: 6, width: 2, counts: [9, 0, 4] }, 1);
    expect(plotted.drive.every((x, i) => i === 0 || x > plotted.drive[i - 1]!)).toBe(true);
    expect([...plotted.series[0]!.values]).toEqual([9, 9, 0, 0, 4, 4]);
    expect(plotted.highest).toBe(9);
    expect(plotted.xRange[0]).toBeLessThan(6);
    expect(plotted.xRange[1]).toBeGreaterThan(12);
  });

  test('tubes that lack one of two figures are no dots', () => {
    const figure = (value: number | null) => ({ value, unit: 'V' });
    const figures = {
      lot: 'Skua', quantities: [{ word: 'a', unit: 'V', meaning: '' }, { word: 'b', unit: 'V', meaning: '' }],
      tubes: [{ tube: 'SKUA-001', state: 'new', grade: null, figures: [figure(1), figure(2000)] }, { tube: 'SKUA-002', state: 'new', grade: null, figures: [figure(5), figure(null)] }],
    } as unknown as LotFigures;
    expect(dotsOf(figures, 'a', 'b', 1, 1e3)).toEqual([{ tube: 'SKUA-001', grade: null, x: 1, y: 2 }]);
    expect(dotsOf(figures, 'a', 'none', 1, 1)).toEqual([]);
    expect(nearestDot([{ tube: 'A', grade: null, x: 0, y: 0 }, { tube: 'B', grade: null, x: 4, y: 0 }], 3)?.tube).toBe('B');
    expect(nearestDot([], 3)).toBeNull();
    expect(rangeOf([])).toEqual([0, 1]);
    expect(rangeOf([5])[0]).toBeLessThan(5);
  });

  test('a control chart holds every value with its limits, and marks what is out of the ordinary', () => {
    const point = (value: number, flags: string[]) => ({ run: String(value), value: { value, unit: 'V', expandedUncertainty: 0.05 }, average: value, flags });
    const drift = { points: [point(1, []), point(2, ['change'])], individuals: { centre: 1.5, lower: -1.2, upper: 4.2, meanRange: 1, upperRange: 3.3 } } as unknown as Drift;
    const plotted = driftSeries(drift, 1);
    expect(plotted.drive).toEqual([1, 2]);
    expect(plotted.marks).toEqual([{ x: 2, y: 2, label: 'change', shape: 'square' }]);
    expect(plotted.yRange[0]).toBeLessThan(-1.2);
    expect(plotted.yRange[1]).toBeGreaterThan(4.2);
    expect(plotted.series.map((s) => s.label)).toEqual(['', '', 'measured', 'upper', 'mean', 'lower', 'average']);
  });
});

test('what a round asks for can be answered with a thumb', () => {
  const ask: RoundAsk = { kind: 'place', text: '', tube: 'SKUA-014', socket: 2, removes: null, entries: ['', 'SKUA-014', 's2', 'aside'] };
  expect(tapped(ask)).toEqual(['']);
  expect(entryWords('', ask)).toBe('It is in');
  expect(entryWords('', { ...ask, removes: 'SKUA-001' })).toBe('Out and in: done');
  expect(entryWords('type 6BH6', ask)).toBe('It is a 6BH6');
  expect(asideLine(ask, ' pin broken ')).toBe('aside SKUA-014 pin broken');
  expect(asideLine(ask, '')).toBe('aside SKUA-014');
});
