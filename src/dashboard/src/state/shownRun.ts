import { api, type Outcome } from '../api/client';
import type { Block, Blocks, Run } from '../api/types';
import { LiveRun, type RunShape } from '../model/liveRun';

/** Fetching waits this long after a skip, so that a viewer that cannot keep up is not asked for more at once. */
const waitAfterSkip = 400;

/** One run on the screen: its curves, and the fetching of whatever did not come by itself. */
export class ShownRun {
  readonly live: LiveRun;
  private fetching = false;
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

  /** Fetches holes, then everything after the last block that came, until the record has no more. */
  async catchUp(): Promise<void> {
    clearTimeout(this.waiting);
    this.waiting = undefined;
    if (this.fetching) {
      this.again = true;
      return;
    }
    this.fetching = true;
    try {
      do {
        this.again = false;
        await this.fetchFrom(this.live.sequences.firstHole()?.from ?? this.live.sequences.end);
      } while (this.again);
    } finally {
      this.fetching = false;
    }
  }

  private async fetchFrom(first: number): Promise<void> {
    for (let from: number | null = first; from !== null; ) {
      const page: Outcome<Blocks> = await api.blocks(this.shape.runId, from);
      if (!page.ok) return;
      for (const block of page.value.blocks) if (this.live.append(block)) this.changed();
      const firstHole = this.live.sequences.firstHole();
      this.unfilled = firstHole?.from === first ? first : -1;
      const next: number | null = page.value.nextSequence;
      // What the page held beyond the hole had come before: go on at the next hole, or at the end.
      from = next === null ? null : Math.max(next, firstHole !== null && firstHole.until > next ? firstHole.from : this.live.sequences.end);
    }
  }
}
