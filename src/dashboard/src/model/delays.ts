/** Delays from sample to repaint, newest kept: enough for 99th percentiles of a run, bounded for a night. */
export class Delays {
  private readonly ring: Float64Array;
  private next = 0;
  private filled = 0;

  constructor(capacity = 8192) {
    this.ring = new Float64Array(capacity);
  }

  /** Repaints measured since the last {@link clear}. */
  count = 0;

  get newest(): number | null {
    return this.filled === 0 ? null : this.ring[(this.next + this.ring.length - 1) % this.ring.length]!;
  }

  add(milliseconds: number): void {
    this.ring[this.next] = milliseconds;
    this.next = (this.next + 1) % this.ring.length;
    this.filled = Math.min(this.filled + 1, this.ring.length);
    this.count++;
  }

  clear(): void {
    this.next = this.filled = this.count = 0;
  }

  /** Nearest-rank percentile of what is kept; null when empty. */
  percentile(percent: number): number | null {
    if (this.filled === 0) return null;
    const sorted = this.ring.slice(0, this.filled).sort();
    return sorted[Math.max(0, Math.ceil((percent / 100) * this.filled) - 1)]!;
  }
}
