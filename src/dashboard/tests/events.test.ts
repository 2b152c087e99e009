import { describe, expect, it } from 'vitest';
import { place, summary, when } from '../src/model/eventWords';

const of = (...severities: ('alarm' | 'warning')[]) => severities.map((severity) => ({ severity }));

describe('events that nobody has seen', () => {
  it('are told by how bad they are, in words', () => {
    expect(summary(of('alarm'), 1)).toBe('1 alarm not seen');
    expect(summary(of('warning', 'alarm', 'warning'), 3)).toBe('1 alarm and 2 warnings not seen');
    expect(summary(of('warning'), 1)).toBe('1 warning not seen');
    expect(summary(of('alarm', 'warning'), 80)).toBe('80 events not seen, 1 or more alarms');
  });

  it('say where, as far as it is known', () => {
    expect(place({ rig: 'rig-2', job: null, tube: 'SKUA-014' })).toBe('rig-2, SKUA-014');
    expect(place({ rig: null, job: null, tube: null })).toBe('');
  });

  it('name the day only where it is another', () => {
    const now = new Date(2026, 10, 27, 7, 0);
    expect(when(new Date(2026, 10, 27, 3, 5).toISOString(), now)).toBe('03:05');
    expect(when(new Date(2026, 10, 26, 23, 59).toISOString(), now)).toBe('2026-11-26 23:59');
  });
});
