/** Half-open range of sequence numbers, `from <= n < until`. */
export interface Range {
  from: number;
  until: number;
}

/** Which of a run's numbered blocks have come, whatever their order. */
export class Sequences {
  /** Sorted, apart from one another: neighbours that touch are merged. */
  private readonly held: Range[] = [];

  /** One past the highest number that has come; 0 before the first. */
  get end(): number {
    return this.held.at(-1)?.until ?? 0;
  }

  /** @returns false when all of the range had come before. */
  add(from: number, until: number): boolean {
    if (!(from >= 0 && until > from)) throw new RangeError(`SweepRig bug: block range ${from} to ${until}`);
    if (this.held.some((r) => r.from <= from && until <= r.until)) return false;
    const first = this.held.findIndex((r) => r.until >= from);
    if (first < 0) {
      this.held.push({ from, until });
      return true;
    }
    let last = first;
    while (last < this.held.length && this.held[last]!.from <= until) last++;
    const merged = { from, until };
    for (const r of this.held.slice(first, last)) {
      merged.from = Math.min(merged.from, r.from);
      merged.until = Math.max(merged.until, r.until);
    }
    this.held.splice(first, last - first, merged);
    return true;
  }

  /** The first hole below {@link end}, or null when there is none. */
  firstHole(): Range | null {
    const [first, second] = this.held;
    if (first === undefined) return null;
    if (first.from > 0) return { from: 0, until: first.from };
    return second === undefined ? null : { from: first.until, until: second.from };
  }
}
