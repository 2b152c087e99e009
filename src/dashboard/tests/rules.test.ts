import { describe, expect, it } from 'vitest';
import type { InterlockLimit, InterlockRule } from '../src/api/types';
import { afterTrip, limitText, originText, rangeText, ruleOf } from '../src/model/ruleWords';

const limit: InterlockLimit = { unit: 'mA', attended: 8, unattended: 6, isSet: false, defaultAttended: 8, defaultUnattended: 6, tightest: 0.1, loosest: 20, source: 'Ohm' };

function rule(id: string, ...causes: string[]): InterlockRule {
  return { id, title: id, hazard: 'h', action: 'a', remedy: 'r', causes, limit };
}

describe('the rule behind a trip', () => {
  const rules = [rule('drive-ceiling', 'host-ceiling'), rule('grid-current', 'host-grid-current'), rule('rail-highest', 'host-supply-range'), rule('rail-deviation', 'host-supply-range'),
    rule('read-back', 'host-read-back'), rule('make-safe', 'host-order'), rule('foreign-program', 'host-order'), rule('link-lost', 'link-lost')];

  it('is found for what the host found and for what the rig found', () => {
    expect(ruleOf('host-grid-current', rules)?.id).toBe('grid-current');
    expect(ruleOf('grid-current', rules)?.id).toBe('grid-current');
    expect(ruleOf('drive-read-back', rules)?.id).toBe('read-back');
    expect(ruleOf('supply-range', rules)?.id).toBe('rail-highest');
    expect(ruleOf('lease-expired', rules)?.id).toBe('link-lost');
    expect(ruleOf('host-order', rules)?.id).toBe('make-safe');
    expect(ruleOf('power-up', rules)).toBeNull();
  });
});

describe('the words of a limit', () => {
  it('give number, unit, range and which way is tighter', () => {
    expect(limitText(limit, false)).toBe('8 mA');
    expect(limitText(limit, true)).toBe('6 mA');
    expect(limitText({ ...limit, unit: 's', attended: 28800 }, false)).toBe('8 h');
    expect(limitText({ ...limit, unit: 's', attended: 40 }, false)).toBe('40 s');
    expect(rangeText(limit)).toBe('0.1 to 20 mA, lower is tighter');
    expect(rangeText({ ...limit, unit: 's', tightest: 600, loosest: 10 })).toBe('10 to 600 s, higher is tighter');
  });

  it('say what the bench has set', () => {
    expect(originText(limit)).toBe('Default');
    expect(originText({ ...limit, isSet: true, attended: 5 })).toBe('Set by this bench; by default 8 and 6 mA');
  });
});

describe('the state after a trip', () => {
  const heater = { on: true, onForSeconds: 50, warmAfterSeconds: 40, warm: true };

  it('says what the rig said, and never more', () => {
    expect(afterTrip({ link: 'connected', plateRailOn: false, driveVolts: -14, heater })).toBe('The drive is not positive, the plate rail is off, the heater is still on, and the glass hot.');
    expect(afterTrip({ link: 'connected', plateRailOn: true, driveVolts: 3, heater: { ...heater, on: false } })).toBe('The drive is still positive, the plate rail is still on, the heater is off.');
    expect(afterTrip({ link: 'connected', plateRailOn: false, driveVolts: null, heater })).toContain('not known');
    expect(afterTrip({ link: 'lost', plateRailOn: false, driveVolts: -14, heater })).toContain('cannot be asked');
  });
});
