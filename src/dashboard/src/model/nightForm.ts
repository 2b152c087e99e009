import type { PlanDocument } from '../api/types';
import type { LimitForm } from './gradeForm';
import { number } from './planForm';

/** Work of a job, by the word of the document. */
export const works = ['screen', 'sweep', 'family', 'soak', 'repeat', 'warm-up', 'explore', 'life'] as const;
export type Work = (typeof works)[number];

/** A field that goes with some work alone. */
export interface OwnField { key: string; label: string; unit: string; usual: string; whole?: boolean }

interface WorkWords { does: string; tells: string; own: OwnField[] }

export const workWords: Record<Work, WorkWords> = {
  screen: { does: 'Screen', tells: 'shorts, leakage, emission, noise; the plan gives the connection alone', own: [] },
  sweep: { does: 'Sweep', tells: 'the plan, once', own: [] },
  family: { does: 'Family of curves', tells: 'a plan that steps a second source', own: [] },
  soak: { does: 'Soak', tells: 'stays hot, and is swept so often', own: [{ key: 'minutes', label: 'For', unit: 'min', usual: '60' }, { key: 'everyMinutes', label: 'A sweep every', unit: 'min', usual: '10' }] },
  repeat: { does: 'Repeat a sweep', tells: 'how well it repeats', own: [{ key: 'everyMinutes', label: 'Every', unit: 'min', usual: '5' }, { key: 'times', label: 'Times', unit: '', usual: '10', whole: true }] },
  'warm-up': { does: 'Warm-up study', tells: 'how long the tube takes from cold', own: [{ key: 'minutes', label: 'Watched for', unit: 'min', usual: '5' }] },
  explore: { does: 'Explore positive drive', tells: 'the ceiling is raised step by step, under the permit of the night', own: [{ key: 'ceilingVolts', label: 'Up to', unit: 'V', usual: '6' }, { key: 'stepVolts', label: 'In steps of', unit: 'V', usual: '1' }] },
  life: {
    does: 'Life test', tells: 'heater on and off',
    own: [
      { key: 'onMinutes', label: 'Heater on', unit: 'min', usual: '20' }, { key: 'offMinutes', label: 'Heater off', unit: 'min', usual: '10' },
      { key: 'cycles', label: 'Cycles', unit: '', usual: '8', whole: true }, { key: 'sweepEvery', label: 'Swept every', unit: 'cycles', usual: '1', whole: true },
    ],
  },
};

export interface SeatForm { socket: string; tube: string; type: string; lot: string }

/** A job as it is typed. `key` tells it from others while its name is being changed. */
export interface JobForm {
  key: number;
  name: string;
  work: Work;
  /** Name of an example; of no meaning where a plan of its own is given. */
  plan: string;
  ownPlan: PlanDocument | null;
  sockets: number[];
  tubes: string;
  lot: string;
  priority: string;
  from: string;
  to: string;
  after: string[];
  ifPassed: boolean;
  againMinutes: string;
  againTimes: string;
  limits: LimitForm[];
  /** By key, for every work, so that going back to another loses nothing. */
  own: Record<string, string>;
}

export interface NightForm {
  name: string;
  timeZone: string;
  from: string;
  to: string;
  seats: SeatForm[];
  jobs: JobForm[];
  heaterHours: string;
  millicoulombs: string;
  acknowledgements: string;
  attempts: string;
  ceiling: string;
  reason: string;
  goesOn: boolean;
  cutShort: boolean;
}

let keys = 0;

export function newJob(work: Work, names: readonly string[]): JobForm {
  const base = work === 'warm-up' ? 'warm-up' : work;
  let name: string = base;
  for (let n = 2; names.includes(name); n++) name = `${base}-${n}`;
  const own = Object.fromEntries(works.flatMap((w) => workWords[w].own.map((f) => [f.key, f.usual])).concat(workWords[work].own.map((f) => [f.key, f.usual])));
  return {
    key: ++keys, name, work, plan: work === 'family' ? 'plate-family' : 'gentle-pentode', ownPlan: null, sockets: [], tubes: '', lot: '', priority: '', from: '', to: '', after: [], ifPassed: false,
    againMinutes: '', againTimes: '', limits: [], own,
  };
}

/** What somebody begins with who never made one. @param timeZone IANA name of the reader's own clock */
export function emptyNight(timeZone: string): NightForm {
  return {
    name: 'Overnight', timeZone, from: '21:30', to: '06:30', seats: [{ socket: '0', tube: '', type: '', lot: '' }], jobs: [newJob('screen', [])],
    heaterHours: '', millicoulombs: '', acknowledgements: '', attempts: '', ceiling: '', reason: '', goesOn: true, cutShort: false,
  };
}

const words = (text: string): string[] => text.split(/[\s,;]+/).filter((w) => w !== '');
const given = (key: string, typed: string): object => (typed.trim() === '' ? {} : { [key]: number(typed) });
const said = (key: string, typed: string): object => (typed.trim() === '' ? {} : { [key]: typed.trim() });

/** The document night/1 as typed: what is no number stays a word, which the service refuses at its place. */
export function nightDocument(form: NightForm): Record<string, unknown> {
  const limits = { ...given('heaterHours', form.heaterHours), ...given('positiveMillicoulombs', form.millicoulombs), ...given('acknowledgements', form.acknowledgements), ...given('attempts', form.attempts) };
  const permit = { ...given('ceilingVolts', form.ceiling), ...said('reason', form.reason) };
  return {
    format: 'night/1', name: form.name.trim(), timeZone: form.timeZone.trim(), window: { from: form.from.trim(), to: form.to.trim() },
    sockets: form.seats.map((s) => ({ socket: number(s.socket), tube: s.tube.trim(), ...said('type', s.type), ...said('lot', s.lot) })),
    jobs: form.jobs.map(jobDocument),
    ...(Object.keys(limits).length > 0 ? { limits } : {}),
    ...(Object.keys(permit).length > 0 ? { permit } : {}),
    ...(form.goesOn ? {} : { goesOnAfterRestart: false }),
    ...(form.cutShort ? { mayBeCutShort: true } : {}),
  };
}

function jobDocument(job: JobForm): Record<string, unknown> {
  const window = job.from.trim() === '' && job.to.trim() === '' ? {} : { window: { from: job.from.trim(), to: job.to.trim() } };
  const every = { ...given('minutes', job.againMinutes), ...given('times', job.againTimes) };
  return {
    name: job.name.trim(), do: job.work, plan: job.ownPlan ?? job.plan,
    ...Object.assign({}, ...workWords[job.work].own.map((f) => given(f.key, job.own[f.key] ?? ''))) as object,
    ...(job.sockets.length > 0 ? { sockets: [...job.sockets].sort((a, b) => a - b) } : {}),
    ...(words(job.tubes).length > 0 ? { tubes: words(job.tubes) } : {}),
    ...said('lot', job.lot), ...given('priority', job.priority), ...window,
    ...(job.after.length > 0 ? { after: [...job.after] } : {}),
    ...(job.ifPassed ? { ifPassed: true } : {}),
    ...(Object.keys(every).length > 0 ? { every } : {}),
    ...(job.limits.length > 0 ? { limits: job.limits.map((l) => ({ quantity: l.quantity, ...given('lowest', l.lowest), ...given('highest', l.highest) })) } : {}),
  };
}

type Loose = Record<string, unknown>;

const object = (value: unknown): Loose => (typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Loose) : {});
const list = (value: unknown): unknown[] => (Array.isArray(value) ? value : []);
const text = (value: unknown): string => (typeof value === 'string' ? value : typeof value === 'number' ? String(value) : '');

/**
 * A document as a form. What has another shape than a night's is left empty, for the service to refuse there; null for what is no night at all.
 * Keys that no form shows would be lost unseen, so a document with one is none either: `unknownKeys` names them.
 */
export function nightForm(document: unknown): NightForm | null {
  const night = object(document);
  if (typeof night['format'] !== 'string' || !night['format'].startsWith('night/')) return null;
  const [window, limits, permit] = [object(night['window']), object(night['limits']), object(night['permit'])];
  return {
    name: text(night['name']), timeZone: text(night['timeZone']), from: text(window['from']), to: text(window['to']),
    seats: list(night['sockets']).map((s) => ({ socket: text(object(s)['socket']), tube: text(object(s)['tube']), type: text(object(s)['type']), lot: text(object(s)['lot']) })),
    jobs: list(night['jobs']).map((j) => jobForm(object(j))),
    heaterHours: text(limits['heaterHours']), millicoulombs: text(limits['positiveMillicoulombs']), acknowledgements: text(limits['acknowledgements']), attempts: text(limits['attempts']),
    ceiling: text(permit['ceilingVolts']), reason: text(permit['reason']), goesOn: night['goesOnAfterRestart'] !== false, cutShort: night['mayBeCutShort'] === true,
  };
}

function jobForm(job: Loose): JobForm {
  const work = works.find((w) => w === job['do']) ?? 'sweep';
  const [window, every] = [object(job['window']), object(job['every'])];
  const blank = newJob(work, []);
  return {
    ...blank, name: text(job['name']), plan: text(job['plan']) || blank.plan, ownPlan: typeof job['plan'] === 'object' ? (job['plan'] as PlanDocument | null) : null,
    sockets: list(job['sockets']).filter((s) => typeof s === 'number'), tubes: list(job['tubes']).map(text).join(' '), lot: text(job['lot']), priority: text(job['priority']),
    from: text(window['from']), to: text(window['to']), after: list(job['after']).map(text), ifPassed: job['ifPassed'] === true,
    againMinutes: text(every['minutes']), againTimes: text(every['times']),
    limits: list(job['limits']).map((l) => ({ quantity: text(object(l)['quantity']), lowest: text(object(l)['lowest']), highest: text(object(l)['highest']) })),
    own: { ...blank.own, ...Object.fromEntries(workWords[work].own.map((f) => [f.key, text(job[f.key])])) },
  };
}

/** Pointers of the keys of a document that its form does not show. */
export function unknownKeys(document: unknown, form: NightForm): string[] {
  const lost: string[] = [];
  compare(document, nightDocument(form), '', lost);
  return lost;
}

function compare(was: unknown, is: unknown, path: string, lost: string[]): void {
  if (Array.isArray(was)) was.forEach((item, i) => compare(item, list(is)[i], `${path}/${i}`, lost));
  else if (typeof was === 'object' && was !== null) {
    for (const [key, value] of Object.entries(was)) {
      if (Object.hasOwn(object(is), key)) compare(value, object(is)[key], `${path}/${key}`, lost);
      else if (!stated(value)) lost.push(`${path}/${key}`);
    }
  }
}

/** What says nothing else than its absence. */
const stated = (value: unknown): boolean => value === true || value === false || value === null || (Array.isArray(value) && value.length === 0) || (typeof value === 'object' && Object.keys(value as object).length === 0);

/** Moves a job one place or many. @returns where it is now */
export function moveJob(form: NightForm, from: number, to: number): number {
  const place = Math.max(0, Math.min(form.jobs.length - 1, to));
  const [job] = form.jobs.splice(from, 1);
  if (job !== undefined) form.jobs.splice(place, 0, job);
  return place;
}

/** Gives a job another name, and to those that come after it too. */
export function renameJob(form: NightForm, job: JobForm, name: string): void {
  const was = job.name;
  job.name = name;
  if (was === '' || form.jobs.some((j) => j.name === was)) return;
  for (const other of form.jobs) other.after = other.after.map((a) => (a === was ? name : a));
}

export function removeJob(form: NightForm, place: number): void {
  const [gone] = form.jobs.splice(place, 1);
  for (const other of form.jobs) other.after = other.after.filter((a) => a !== gone?.name || form.jobs.some((j) => j.name === a));
  for (const other of form.jobs) if (other.after.length === 0) other.ifPassed = false;
}

/** A tube that was scanned: into the first socket that has none, else into a further one. @returns what was done, for people */
export function seatTube(form: NightForm, label: string, sockets: number): string {
  const there = form.seats.find((s) => s.tube.trim().toUpperCase() === label);
  if (there !== undefined) return `${label} is in socket ${there.socket} already.`;
  const free = form.seats.find((s) => s.tube.trim() === '');
  if (free !== undefined) {
    Object.assign(free, { tube: label, type: '', lot: '' });
    return `${label} is in socket ${free.socket}.`;
  }
  const next = Array.from({ length: sockets }, (_, n) => String(n)).find((n) => form.seats.every((s) => s.socket.trim() !== n));
  if (next === undefined) return `${label} has no socket: all ${sockets} are taken.`;
  form.seats.push({ socket: next, tube: label, type: '', lot: '' });
  return `${label} is in socket ${next}.`;
}

/** Every pointer that a field of the form shows, so that a fault goes to the nearest. */
export function nightFields(form: NightForm): string[] {
  return [
    '/name', '/timeZone', '/window', '/window/from', '/window/to', '/limits/heaterHours', '/limits/positiveMillicoulombs', '/limits/acknowledgements', '/limits/attempts', '/permit', '/permit/ceilingVolts', '/permit/reason',
    '/sockets', ...form.seats.flatMap((_, i) => ['', '/socket', '/tube', '/type', '/lot'].map((k) => `/sockets/${i}${k}`)),
    '/jobs', ...form.jobs.flatMap((job, i) => [
      '', '/name', '/do', '/plan', '/sockets', '/tubes', '/lot', '/priority', '/window', '/after', '/ifPassed', '/every', ...workWords[job.work].own.map((f) => `/${f.key}`), ...job.limits.map((_, n) => `/limits/${n}`),
    ].map((k) => `/jobs/${i}${k}`)),
  ];
}
