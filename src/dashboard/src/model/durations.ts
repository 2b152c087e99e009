/** `4 s`, `1 min 05 s`, `2 h 03 min`: rounded up, since it says what is left. */
export function duration(seconds: number): string {
  const whole = Math.max(0, Math.ceil(seconds - 1e-9));
  if (whole < 60) return `${whole} s`;
  const minutes = Math.floor(whole / 60);
  if (minutes < 60) return `${minutes} min ${two(whole % 60)} s`;
  return `${Math.floor(minutes / 60)} h ${two(minutes % 60)} min`;
}

/** A countdown of constant width: `4:59`. */
export function countdown(seconds: number): string {
  const whole = Math.max(0, Math.ceil(seconds - 1e-9));
  return `${Math.floor(whole / 60)}:${two(whole % 60)}`;
}

/** Time of day by the reader's clock, `12:03:11`. */
export function timeOfDay(when: Date): string {
  return `${two(when.getHours())}:${two(when.getMinutes())}:${two(when.getSeconds())}`;
}

/** Day and time by the reader's clock, `2026-07-14 12:03`. */
export function dayAndTime(utc: string): string {
  const when = new Date(utc);
  if (Number.isNaN(when.getTime())) return utc;
  return `${when.getFullYear()}-${two(when.getMonth() + 1)}-${two(when.getDate())} ${two(when.getHours())}:${two(when.getMinutes())}`;
}

function two(value: number): string {
  return String(value).padStart(2, '0');
}
