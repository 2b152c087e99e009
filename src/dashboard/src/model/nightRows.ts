import type { Night, NightHead, NightPlan, NightSeat, NightStep } from '../api/types';
import { after, type TimedStep } from './nightTimes';

/** One socket of the timeline. */
export interface TimeRow { socket: number; tube: string; word: string; predicted: TimedStep[]; happened: TimedStep[] }

export interface TimePicture { begun: Date; span: number; rows: TimeRow[] }

/** A night that was only planned: the axis goes from the first work to the last, or to the close of the window where something is not reached. */
export function plannedPicture(plan: NightPlan): TimePicture {
  const begun = new Date(plan.opensUtc);
  const rows = plan.sockets.map((s): TimeRow => ({
    socket: s.socket, tube: s.tube, word: s.type, happened: [],
    predicted: plan.steps.flatMap((p, step) => (p.socket === s.socket ? [{ step, job: p.job, socket: p.socket, begins: after(begun, p.beginsUtc), ends: after(begun, p.endsUtc), state: 'waiting' }] : [])),
  }));
  const end = plan.notReached.length > 0 ? plan.closesUtc : plan.load.endsUtc;
  return { begun, span: Math.max(10, after(begun, end) * 1.02), rows };
}

/** The sockets of a night that cannot be planned yet, so that its picture has the same room. */
export function emptyPicture(seats: readonly { socket: string; tube: string }[], now: Date): TimePicture {
  return { begun: now, span: 8 * 3600, rows: seats.map((s, i) => ({ socket: Number.isInteger(Number(s.socket)) && s.socket.trim() !== '' ? Number(s.socket) : i, tube: s.tube, word: '', predicted: [], happened: [] })) };
}

/** A night under way or over: what was expected, and what happened until `now`. */
export function happenedPicture(night: Pick<Night, 'state' | 'begunUtc' | 'sockets'> & { forecast?: { endsUtc: string } }, steps: readonly NightStep[], now: Date): TimePicture {
  const instants = steps.flatMap((s) => [s.predictedBeginUtc, s.predictedEndUtc, s.beganUtc, s.endedUtc]).filter((t) => t !== null).map((t) => Date.parse(t));
  if (night.forecast !== undefined) instants.push(Date.parse(night.forecast.endsUtc));
  if (night.state !== 'over') instants.push(now.getTime());
  const begun = new Date(instants.reduce((a, b) => Math.min(a, b), Date.parse(night.begunUtc)));
  const last = instants.reduce((a, b) => Math.max(a, b), begun.getTime());
  const rows = night.sockets.map((s): TimeRow => {
    const own = steps.filter((step) => step.socket === s.socket);
    return {
      socket: s.socket, tube: s.tube, word: s.out === null ? s.type : 'left alone',
      predicted: own.flatMap((p) => (p.predictedBeginUtc === null ? [] : [{ step: p.step, job: p.job, socket: p.socket, begins: after(begun, p.predictedBeginUtc), ends: after(begun, p.predictedEndUtc), state: 'waiting' }])),
      happened: own.flatMap((p) => (p.beganUtc === null ? [] : [{ step: p.step, job: p.job, socket: p.socket, begins: after(begun, p.beganUtc), ends: p.endedUtc === null ? after(begun, now.toISOString()) : after(begun, p.endedUtc), state: p.state }])),
    };
  });
  return { begun, span: Math.max(10, ((last - begun.getTime()) / 1000) * 1.02), rows };
}

/** A night of which only the record is at hand: its sockets are those of its steps. */
export function recordedPicture(head: NightHead, steps: readonly NightStep[]): TimePicture {
  const seats = [...new Map(steps.map((s): [number, NightSeat] => [s.socket, { socket: s.socket, tube: s.tube, type: '', lot: null, out: null }])).values()].sort((a, b) => a.socket - b.socket);
  const over = head.endedUtc !== null;
  return happenedPicture({ state: over ? 'over' : 'working', begunUtc: head.begunUtc, sockets: seats }, steps, over ? new Date(head.endedUtc!) : new Date());
}

/** When a job is to be done: `22:10 to 23:40`; empty for one that is not reached at all. */
export function jobTimes(plan: NightPlan, job: string, clock: Intl.DateTimeFormat): string {
  const own = plan.steps.filter((s) => s.job === job);
  if (own.length === 0) return '';
  const begins = own.reduce((a, s) => (s.beginsUtc < a ? s.beginsUtc : a), own[0]!.beginsUtc);
  const ends = own.reduce((a, s) => (s.endsUtc > a ? s.endsUtc : a), own[0]!.endsUtc);
  return `${clock.format(new Date(begins))} to ${clock.format(new Date(ends))}`;
}
