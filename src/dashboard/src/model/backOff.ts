/** Milliseconds before the n-th try again (from 0): quick at first, then every 5 s for ever. A bench is left alone for nights. */
export function backOff(tries: number): number {
  return [0, 250, 500, 1000, 2000][tries] ?? 5000;
}
