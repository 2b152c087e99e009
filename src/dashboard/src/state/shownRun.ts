import { api, type Outcome } from '../api/client';
import type { Block, Blocks, Run } from '../api/types';
import { backOff } from '../model/backOff';
import { LiveRun, type RunShape } from '../model/liveRun';

/** Fetching waits this long after a skip, so that a viewer that cannot keep up is not asked for more at once. */
const waitAfterSkip = 400;

/** One run on the screen: its curves, and the fetching of whatever did not come by itself. */
export class ShownRun {
  readonly live: LiveRun;
  private fetching: Promise<boolean> | null = null;
  private again = false;
  /** A hole that the record does not fill either: not asked for again until the run is caught up with at its end. */
  private unfilled = -1;
  private waiting: ReturnType<typeof setTimeout> | undefined;

  constructor(
    readonly shape: RunShape,
    private readonly changed: () => void,
  ) {
    this.live = new LiveRun(shape);
  }

  static shapeOf(run: Run): RunShape {
    return { runId: run.id, driveStart: run.driveStart, driveStop: run.driveStop, passes: run.passes };
  }

  take(block: Block): void {
    if (this.live.append(block)) this.changed();
    const hole = this.live.sequences.firstHole();
    if (hole !== null && hole.from !== this.unfilled) this.waiting ??= setTimeout(() => void this.catchUp(), waitAfterSkip);
  }

  /** Fetches holes, then everything after the last block that came, until the record has no more. @returns whether the service gave all of it. */
  catchUp(): Promise<boolean> {
    clearTimeout(this.waiting);
    this.waiting = undefined;
    if (this.fetching === null) this.fetching = this.fetchAll();
    else this.again = true;
    return this.fetching;
  }

  /**
   * Reads what the record says of the run, then every block of it; tries again for as long as the service does not answer.
   *
   * @param wanted Whether to go on.
   * @param told Takes the run as it is on record, before its blocks have come.
   * @returns whether the run has ended and all of it is here.
   */
  async settle(wanted: () => boolean, told: (run: Run) => void): Promise<boolean> {
    for (let tries = 1; wanted(); tries++) {
      const found = await api.run(this.shape.runId);
      if (found.ok) told(found.value);
      else if (found.refusals[0]?.code !== 'unreachable') return false;
      const whole = await this.catchUp();
      if (found.ok && whole) return found.value.state !== 'running';
      await new Promise((resolve) => setTimeout(resolve, backOff(tries)));
    }
    return false;
  }

  private async fetchAll(): Promise<boolean> {
    try {
      let whole: boolean;
      do {
        this.again = false;
        whole = await this.fetchFrom(this.live.sequences.firstHole()?.from ?? this.live.sequences.end);
      } while (this.again);
      return whole;
    } finally {
      this.fetching = null;
    }
  }

  private async fetchFrom(first: number): Promise<boolean> {
    for (let from: number | null = first; from !== null; ) {
      const page: Outcome<Blocks> = await api.blocks(this.shape.runId, from);
      if (!page.ok) return false;
      for (const block of page.value.blocks) if (this.live.append(block)) this.changed();
      const firstHole = this.live.sequences.firstHole();
      this.unfilled = firstHole?.from === first ? first : -1;
      const next: number | null = page.value.nextSequence;
      // What the page held beyond the hole had come before: go on at the next hole, or at the end.
      from = next === null ? null : Math.max(next, firstHole !== null && firstHole.until > next ? firstHole.from : this.live.sequences.end);
    }
    return true;
  }
}
