import type { BenchEvent } from '../api/types';

/** One line for events that wait to be seen: how many of which, the worst first. */
export function summary(events: readonly Pick<BenchEvent, 'severity'>[], unseen: number): string {
  const alarms = events.filter((e) => e.severity === 'alarm').length;
  // Beyond a page of the list only the number is known.
  if (unseen > events.length) return `${unseen} events not seen${alarms > 0 ? `, ${alarms} or more alarms` : ''}`;
  const warnings = events.length - alarms;
  const parts = [
    ...(alarms > 0 ? [`${alarms} ${alarms === 1 ? 'alarm' : 'alarms'}`] : []),
    ...(warnings > 0 ? [`${warnings} ${warnings === 1 ? 'warning' : 'warnings'}`] : []),
  ];
  return `${parts.join(' and ')} not seen`;
}

/** Where it happened: rig, job and tube as far as they are known. */
export function place(event: Pick<BenchEvent, 'rig' | 'job' | 'tube'>): string {
  return [event.rig, event.job, event.tube].filter((part) => part !== null).join(', ');
}

/** Day and time as the person here reads them; the day only where it is another. */
export function when(utc: string, now: Date): string {
  const at = new Date(utc);
  const time = at.toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' });
  return at.toDateString() === now.toDateString() ? time : `${at.toLocaleDateString('en-CA')} ${time}`;
}
