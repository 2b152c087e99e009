/** A step on the time axis of a night; seconds since it began. */
export interface TimedStep { step: number; job: string; socket: number; begins: number; ends: number; state: string }

/** What is drawn: a step, or several of the same job and state that would be closer together than can be seen. */
export interface Bar { key: string; job: string; state: string; from: number; to: number; steps: number }

/** Part of the whole width below which two bars are one, and that a bar has at least. */
const finest = 0.002;

/** Bars of one row, from left to right. @param span seconds that the axis is long */
export function bars(steps: readonly TimedStep[], span: number): Bar[] {
  const drawn: Bar[] = [];
  for (const s of [...steps].sort((a, b) => a.begins - b.begins)) {
    const last = drawn.at(-1);
    if (last !== undefined && last.job === s.job && last.state === s.state && s.begins - last.to < finest * span && (last.to - last.from < finest * span || s.ends - s.begins < finest * span)) {
      last.to = Math.max(last.to, s.ends);
      last.steps++;
    } else drawn.push({ key: `${s.step}`, job: s.job, state: s.state, from: s.begins, to: s.ends, steps: 1 });
  }
  return drawn;
}

/** Place and width of a span of time, in percent of the axis; never too thin to be seen. */
export function place(from: number, to: number, span: number): { left: number; width: number } {
  const left = Math.min(100, Math.max(0, (100 * from) / span));
  return { left, width: Math.min(100 - left, Math.max(100 * finest, (100 * (to - Math.max(0, from))) / span)) };
}

export interface Tick { at: number; text: string }

const steps = [1, 2, 5, 10, 15, 30, 60, 120, 180, 240, 360].map((minutes) => minutes * 60);

/** Whole minutes or hours by the clock of a zone, as many as have room. @param zone IANA name; a name that the browser lacks leaves its own clock */
export function ticks(begun: Date, span: number, zone: string, most: number): Tick[] {
  const step = steps.find((s) => span / s <= most) ?? steps.at(-1)!;
  const clock = timeIn(zone);
  // Offsets of zones are whole quarters of an hour.
  const stride = 1000 * (step >= 900 ? 900 : step === 600 ? 300 : step);
  const found: Tick[] = [];
  for (let t = Math.ceil(begun.getTime() / stride) * stride; t <= begun.getTime() + span * 1000; t += stride) {
    const text = clock.format(t);
    const [hours, minutes] = text.split(':').map(Number) as [number, number];
    if ((hours * 3600 + minutes * 60) % step === 0) found.push({ at: (t - begun.getTime()) / 1000, text });
  }
  return found;
}

/** Time of day in a zone, `02:30`. */
export function timeIn(zone: string): Intl.DateTimeFormat {
  const shape = { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' } as const;
  try {
    return new Intl.DateTimeFormat('en-GB', { ...shape, timeZone: zone });
  } catch {
    return new Intl.DateTimeFormat('en-GB', shape);
  }
}

/** How far what happened is from what was expected: `4 min later`; empty when it is less than a minute. */
export function lateness(expected: number, happened: number): string {
  const minutes = Math.round((happened - expected) / 60);
  if (minutes === 0) return '';
  const size = Math.abs(minutes);
  return `${size < 60 ? `${size} min` : `${Math.floor(size / 60)} h ${String(size % 60).padStart(2, '0')} min`} ${minutes > 0 ? 'later' : 'sooner'}`;
}

/** Seconds from one instant to another; 0 for none. */
export const after = (begun: Date, utc: string | null | undefined): number => (utc == null ? 0 : (Date.parse(utc) - begun.getTime()) / 1000);
