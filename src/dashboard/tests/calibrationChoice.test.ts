import { describe, expect, it } from 'vitest';
import type { CalibrationItem, CalibrationState } from '../src/api/types';
import { asMeasured, byRig, choiceFor, newest, nominal } from '../src/model/calibrationChoice';
import { calibrationShort } from '../src/model/calibrationWords';
import { faultText, withinDocument } from '../src/model/refusals';

const made = (id: string, day: string, state: CalibrationState['state'] = 'calibrated'): CalibrationState =>
  ({ id, state, madeUtc: `${day}T09:26:53.000Z`, validUntilUtc: '2026-09-10T09:26:53.000Z', meter: 'hand-held meter', note: null, positivePoints: true });
const kept: CalibrationItem[] = [
  { rigSerialNumber: 'SIM-0001', calibration: made('cal-2', '2026-03-14') },
  { rigSerialNumber: 'RIG-0042', calibration: made('cal-7', '2026-02-01') },
  { rigSerialNumber: 'SIM-0001', calibration: made('cal-1', '2025-03-14') },
];

describe('choice of calibration', () => {
  it('asks for nothing as measured', () => expect(choiceFor(asMeasured, 'SIM-0001', kept)).toEqual({ query: null, because: null }));
  it('passes the words on', () => {
    expect(choiceFor(newest, 'SIM-0001', kept).query).toBe('newest');
    expect(choiceFor(nominal, 'RIG-0099', kept).query).toBe('nominal');
  });
  it('leaves a run of a rig that was never calibrated as measured, and says so', () =>
    expect(choiceFor(newest, 'RIG-0099', kept)).toEqual({ query: null, because: 'as measured, since rig RIG-0099 was never calibrated' }));
  it('leaves a run of another rig as measured, and says so', () => {
    expect(choiceFor('cal-1', 'SIM-0001', kept)).toEqual({ query: 'cal-1', because: null });
    const other = choiceFor('cal-7', 'SIM-0001', kept);
    expect(other.query).toBeNull();
    expect(other.because).toContain('RIG-0042');
    expect(other.because).toContain('SIM-0001');
  });
  it('lets the service judge an id that the page does not know', () => expect(choiceFor('cal-9', 'SIM-0001', kept).query).toBe('cal-9'));
  it('groups by rig and keeps the newest first', () =>
    expect(byRig(kept).map((g) => [g.rig, ...g.items.map((i) => i.calibration.id)])).toEqual([['RIG-0042', 'cal-7'], ['SIM-0001', 'cal-2', 'cal-1']]));
});

describe('what a row says of its calibration', () => {
  const started = '2026-03-12T09:26:53.000Z';
  it('marks nominal and stale', () => {
    expect(calibrationShort({ ...made('x', '2026-03-14'), id: null, state: 'nominal', madeUtc: null }, started)).toBe('△ Nominal values');
    expect(calibrationShort(made('cal-1', '2025-03-12', 'stale'), started)).toBe('△ Stale, made 2025-03-12, 365 days before the run');
  });
  it('tells how far from the run it was made', () => {
    expect(calibrationShort(made('cal-2', '2026-03-14'), started)).toBe('Calibrated 2026-03-14, 2 days after the run');
    expect(calibrationShort(made('cal-2', '2026-03-11'), started)).toBe('Calibrated 2026-03-11, 1 day before the run');
    expect(calibrationShort(made('cal-2', '2026-03-12'), started)).toBe('Calibrated 2026-03-12');
  });
});

it('points into the document alone', () => {
  const fault = { code: 'out-of-range', path: '/calibration/drive/slope', asked: 'a', allowed: 'b', remedy: 'c' };
  expect(withinDocument([fault, { ...fault, path: '' }], '/calibration').map((r) => r.path)).toEqual(['/drive/slope', '']);
});

it('writes a key as it stands in the document', () => {
  const fault = { code: 'out-of-range', path: '/drive/slope', asked: 'slope is 3 V per V', allowed: '0.5 to 2 V per V is allowed', remedy: 'Correct it.' };
  expect(faultText(fault)).toBe('slope is 3 V per V; 0.5 to 2 V per V is allowed. Correct it.');
  expect(faultText({ ...fault, path: '' })).toMatch(/^Slope is/);
  expect(faultText({ ...fault, allowed: '' })).toBe('slope is 3 V per V. Correct it.');
});
