import { describe, expect, test } from 'vitest';
import type { DoneAlarm, Morning, Night, NightHead, NightPlan, NightStep } from '../src/api/types';
import { nightText, readNight } from '../src/model/nightFile';
import { emptyNight, moveJob, newJob, nightDocument, nightFields, nightForm, removeJob, renameJob, seatTube, works, workWords } from '../src/model/nightForm';
import { alarmsOf, benchNow, outcomeOf, sentence } from '../src/model/nightMorning';
import { happenedPicture, jobTimes, plannedPicture } from '../src/model/nightRows';
import { bars, lateness, place, ticks, timeIn, type TimedStep } from '../src/model/nightTimes';
import { countsOf, standing } from '../src/model/nightWords';
import { refusalsByField } from '../src/model/refusals';

const document = {
  format: 'night/1', name: 'Skua, first night', timeZone: 'Europe/Oslo', window: { from: '21:30', to: '06:30' },
  sockets: [{ socket: 0, tube: 'SKUA-014', type: '6AU6' }, { socket: 1, tube: 'SKUA-020' }],
  jobs: [
    { name: 'screen-all', do: 'screen', plan: 'gentle-pentode', priority: 8 },
    { name: 'hourly', do: 'sweep', plan: 'gentle-pentode', sockets: [1], tubes: ['SKUA-020'], lot: 'Skua', window: { from: '02:00', to: '03:00' }, after: ['screen-all'], ifPassed: true, every: { minutes: 60, times: 4 }, limits: [{ quantity: 'pentode.vol', highest: 12 }] },
    { name: 'life', do: 'life', plan: { format: 'sweep-plan/1', name: 'own' }, onMinutes: 20, offMinutes: 10, cycles: 8, sweepEvery: 2 },
  ],
  limits: { heaterHours: 8, positiveMillicoulombs: 40, acknowledgements: 1, attempts: 2 }, permit: { ceilingVolts: 6, reason: 'fold-back check' }, goesOnAfterRestart: false, mayBeCutShort: true,
};

const job = (name: string) => ({ ...newJob('sweep', []), name });
const night = (...names: string[]) => ({ ...emptyNight('Etc/UTC'), jobs: names.map(job) });
const timed = (step: number, begins: number, ends: number, more: Partial<TimedStep> = {}): TimedStep => ({ step, job: 'a', socket: 0, begins, ends, state: 'passed', ...more });

describe('a night as it is typed', () => {
  test('a document goes into the form and comes out as it was', () => {
    const form = nightForm(document)!;
    expect(nightDocument(form)).toEqual(document);
    expect(readNight(nightText(form), 'a.json')).toMatchObject({ form: { name: 'Skua, first night' } });
  });

  test('a slip stays as typed, for the service to refuse at its field', () => {
    const form = nightForm(document)!;
    form.seats[0]!.socket = 'two';
    form.jobs[2]!.own['cycles'] = ' 8,5';
    form.heaterHours = '8h';
    expect(nightDocument(form)).toMatchObject({ sockets: [{ socket: 'two' }, {}], jobs: [{}, {}, { cycles: 8.5 }], limits: { heaterHours: '8h' } });
  });

  test('what is left empty is left out, and an empty night names its one job', () => {
    expect(nightDocument(emptyNight('Etc/UTC'))).toEqual({
      format: 'night/1', name: 'Overnight', timeZone: 'Etc/UTC', window: { from: '21:30', to: '06:30' }, sockets: [{ socket: 0, tube: '' }], jobs: [{ name: 'screen', do: 'screen', plan: 'gentle-pentode' }],
    });
  });

  test.each(works)('a new job of work %s has values for all that goes with it', (work) => {
    const made = newJob(work, []);
    for (const field of workWords[work].own) expect(made.own[field.key]).toBe(field.usual);
  });

  test('new names are free', () => expect(newJob('sweep', ['sweep', 'sweep-2']).name).toBe('sweep-3'));

  test('a file that is no night, no JSON, or has keys that the form would lose is not taken, with the reason', () => {
    expect(readNight('{', 'a.json')).toMatchObject({ why: expect.stringContaining('a.json is not JSON') });
    expect(readNight('{"format":"sweep-plan/1"}', 'a.json')).toMatchObject({ why: expect.stringContaining('night/1') });
    expect(readNight(JSON.stringify({ ...document, jobs: [{ ...document.jobs[0], heeter: 6 }] }), 'a.json')).toMatchObject({ why: expect.stringContaining('/jobs/0/heeter') });
    // Of a screening: what goes with soaks alone.
    expect(readNight(JSON.stringify({ ...document, jobs: [{ ...document.jobs[0], minutes: 6 }] }), 'a.json')).toMatchObject({ why: expect.stringContaining('/jobs/0/minutes') });
  });

  test('jobs are moved, renamed with those that come after them, and taken out', () => {
    const form = night('a', 'b', 'c');
    form.jobs[2]!.after = ['a', 'b'];
    form.jobs[2]!.ifPassed = true;
    expect(moveJob(form, 2, 0)).toBe(0);
    expect(form.jobs.map((j) => j.name)).toEqual(['c', 'a', 'b']);
    expect(moveJob(form, 0, 99)).toBe(2);
    renameJob(form, form.jobs[0]!, 'first');
    expect(form.jobs[2]!.after).toEqual(['first', 'b']);
    removeJob(form, 0);
    expect(form.jobs[1]!.after).toEqual(['b']);
    removeJob(form, 0);
    expect(form.jobs[0]).toMatchObject({ name: 'c', after: [], ifPassed: false });
  });

  test('scanned tubes go into sockets in turn, each once, and none is lost without a word', () => {
    const form = emptyNight('Etc/UTC');
    expect(seatTube(form, 'SKUA-014', 2)).toBe('SKUA-014 is in socket 0.');
    expect(seatTube(form, 'SKUA-014', 2)).toBe('SKUA-014 is in socket 0 already.');
    expect(seatTube(form, 'SKUA-020', 2)).toBe('SKUA-020 is in socket 1.');
    expect(seatTube(form, 'SKUA-021', 2)).toContain('no socket');
    expect(form.seats.map((s) => s.tube)).toEqual(['SKUA-014', 'SKUA-020']);
  });

  test('every fault has a place: its field, the nearest, or the general list', () => {
    const form = nightForm(document)!;
    const paths = ['/window/to', '/sockets/1/tube', '/jobs/1/window/to', '/jobs/1/limits/0/highest', '/jobs/0/plan/drive/stopVolts', '/jobs/2/cycles', '/jobs', '', '/nothing'];
    const { at, general } = refusalsByField(paths.map((path) => ({ code: 'c', path, asked: 'a', allowed: 'b', remedy: 'r' })), nightFields(form));
    expect([...at.keys()]).toEqual(['/window/to', '/sockets/1/tube', '/jobs/1/window', '/jobs/1/limits/0', '/jobs/0/plan', '/jobs/2/cycles', '/jobs']);
    expect(general.map((r) => r.path)).toEqual(['', '/nothing']);
  });
});

describe('the time axis', () => {
  test('bars that nobody could tell apart are one, and others stay', () => {
    const many = Array.from({ length: 20_000 }, (_, i) => timed(i, i, i + 0.9));
    const drawn = bars(many, 20_000);
    expect(drawn.length).toBeLessThan(600);
    expect(drawn.reduce((n, b) => n + b.steps, 0)).toBe(20_000);
    expect(bars([timed(1, 500, 900), timed(0, 0, 400)], 1000).map((b) => b.from)).toEqual([0, 500]);
    expect(bars([timed(0, 0, 1), timed(1, 1, 2, { state: 'failed' })], 10_000)).toHaveLength(2);
  });

  test('places are within the axis, and nothing is too thin to be seen', () => {
    expect(place(-50, 50, 100)).toEqual({ left: 0, width: 50 });
    expect(place(90, 200, 100)).toEqual({ left: 90, width: 10 });
    expect(place(10, 10, 100).width).toBeGreaterThan(0);
  });

  // IANA time-zone data, rules of the EU: Oslo goes back from 03:00 to 02:00 on 25 October 2026, and forward from 02:00 to 03:00 on 28 March 2027.
  test('ticks are whole hours of the zone, one of them twice when clocks go back and none when they go forward', () => {
    expect(ticks(new Date('2026-10-24T22:30:00Z'), 4 * 3600, 'Europe/Oslo', 4).map((t) => t.text)).toEqual(['01:00', '02:00', '02:00', '03:00']);
    expect(ticks(new Date('2027-03-27T23:30:00Z'), 3 * 3600, 'Europe/Oslo', 3).map((t) => t.text)).toEqual(['01:00', '03:00', '04:00']);
    expect(timeIn('No/Such').format(0)).toMatch(/^\d\d:\d\d$/);
  });

  test('lateness in whole minutes', () => {
    expect(lateness(0, 20)).toBe('');
    expect(lateness(0, 240)).toBe('4 min later');
    expect(lateness(7260, 0)).toBe('2 h 01 min sooner');
  });
});

describe('a night that was planned, or happened', () => {
  const plan = {
    name: 'n', timeZone: 'Europe/Oslo', opensUtc: '2026-11-26T20:30:00Z', closesUtc: '2026-11-27T05:30:00Z', load: { endsUtc: '2026-11-26T21:30:00Z' }, notReached: [],
    sockets: [{ socket: 0, tube: 'SKUA-014', type: '6AU6', lot: null, out: null }, { socket: 3, tube: 'SKUA-020', type: '6AU6', lot: null, out: null }],
    steps: [{ job: 'a', socket: 3, beginsUtc: '2026-11-26T20:30:00Z', endsUtc: '2026-11-26T20:40:00Z' }, { job: 'a', socket: 0, beginsUtc: '2026-11-26T20:40:00Z', endsUtc: '2026-11-26T21:30:00Z' }],
  } as unknown as NightPlan;

  test('one row a socket, and a job from its first begin to its last end by the clock of the zone', () => {
    const picture = plannedPicture(plan);
    expect(picture.rows.map((r) => [r.socket, r.predicted.map((p) => [p.begins, p.ends])])).toEqual([[0, [[600, 3600]]], [3, [[0, 600]]]]);
    expect(picture.span).toBeCloseTo(3672);
    expect(jobTimes(plan, 'a', timeIn('Europe/Oslo'))).toBe('21:30 to 22:30');
    expect(jobTimes(plan, 'b', timeIn('Europe/Oslo'))).toBe('');
  });

  test('what happened is drawn to its end, and what is under way to now', () => {
    const step = (n: number, state: NightStep['state'], beganUtc: string | null, endedUtc: string | null) => ({
      step: n, job: 'a', socket: 0, tube: 'SKUA-014', turn: 0, state, attempts: 1, predictedBeginUtc: '2026-11-26T20:30:00Z', predictedEndUtc: '2026-11-26T20:40:00Z', beganUtc, endedUtc, verdict: null, runs: [],
    }) as NightStep;
    const shown = { state: 'working', begunUtc: '2026-11-26T20:30:00Z', sockets: [plan.sockets[0]] } as unknown as Night;
    const picture = happenedPicture(shown, [step(0, 'passed', '2026-11-26T20:31:00Z', '2026-11-26T20:41:00Z'), step(1, 'running', '2026-11-26T20:41:00Z', null), step(2, 'waiting', null, null)], new Date('2026-11-26T20:50:00Z'));
    expect(picture.rows[0]!.happened.map((h) => [h.begins, h.ends, h.state])).toEqual([[60, 660, 'passed'], [660, 1200, 'running']]);
    expect(picture.rows[0]!.predicted).toHaveLength(3);
  });

  test('a night that works over a hold says that it is held next, and is no longer at work when it is', () => {
    expect(standing({ state: 'working', held: null })).toEqual(['▶', 'At work', 'working']);
    expect(standing({ state: 'working', held: 'a look at socket 2' })).toEqual(['▲', 'Held after this step', 'held']);
    expect(standing({ state: 'held', held: 'a look at socket 2' })).toEqual(['▲', 'Held', 'held']);
  });

  test('counts add up', () => {
    const j = (more: object) => ({ steps: 10, waiting: 1, running: 1, passed: 4, failed: 2, skipped: 1, notReached: 1, ...more });
    expect(countsOf({ jobs: [j({}), j({ passed: 6, waiting: 0, running: 0 })] as unknown as Night['jobs'] })).toEqual({ steps: 20, over: 18, passed: 10, failed: 4, skipped: 2, notReached: 2 });
  });
});

describe('in the morning', () => {
  const rig = (state: string) => ({ rig: state, state, text: '', remedy: '' }) as Morning['now'][number];

  test('the bench is said in the word of its worst rig', () => {
    expect(benchNow([rig('ready'), rig('gone'), rig('tripped')])).toEqual(['⬣', 'Tripped', 'tripped']);
    expect(benchNow([rig('ready'), rig('gone')])[2]).toBe('heed');
    expect(benchNow([rig('ready'), rig('working')])[1]).toBe('At work');
    expect(benchNow([])[1]).toBe('Not known');
  });

  test('alarms that were not delivered are named', () => {
    const done = [{ way: 'phone', fault: null }, { way: 'keepers', fault: 'refused' }] as DoneAlarm[];
    expect(alarmsOf(done)).toEqual({ delivered: 1, lost: [done[1]] });
  });

  test('how it went, in one sentence', () => {
    const steps = (['passed', 'passed', 'failed', 'not-reached', 'waiting'] as const).map((state) => ({ state }) as NightStep);
    const head = { endedBecause: null } as NightHead;
    expect(sentence(head, outcomeOf(steps))).toBe('2 of 5 steps passed, 1 failed, 1 were not reached, 1 are still to come.');
    expect(sentence({ ...head, endedBecause: 'a person ended it' }, outcomeOf(steps.slice(0, 2)))).toBe('2 of 2 steps passed; over because a person ended it.');
  });
});
