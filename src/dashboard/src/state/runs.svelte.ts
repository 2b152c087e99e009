import { api } from '../api/client';
import type { Run, RunLevels } from '../api/types';
import { savedCurve, type SavedCurve } from '../model/savedCurves';
import { Selection } from '../model/selection';

export interface Overlaid {
  run: Run;
  place: number;
  curves: SavedCurve[];
  levels: RunLevels | null;
}

const page = 30;

/** Recorded runs, and those that lie over one another on the plot. */
class RunsStore {
  list = $state.raw<Run[]>([]);
  olderThan = $state<string | null>(null);
  fetched = $state(false);
  busy = $state(false);
  refused = $state('');
  overlaid = $state.raw<Overlaid[]>([]);
  /** Drive of the cursors in volts; null while not set. */
  a = $state<number | null>(null);
  b = $state<number | null>(null);
  /** Run whose levels are marked and listed. */
  levelsOf = $state<string | null>(null);
  open = $state<string | null>(null);

  private readonly selection = new Selection();

  async refresh(): Promise<void> {
    const answer = await api.runs(Math.max(page, Math.min(500, this.list.length)), null);
    this.fetched = true;
    if (!answer.ok) {
      this.refused = answer.title;
      return;
    }
    this.list = answer.value.runs;
    this.olderThan = answer.value.olderThan;
  }

  async more(): Promise<void> {
    if (this.olderThan === null || this.busy) return;
    this.busy = true;
    try {
      const answer = await api.runs(page, this.olderThan);
      if (!answer.ok) return;
      const known = new Set(this.list.map((r) => r.id));
      this.list = [...this.list, ...answer.value.runs.filter((r) => !known.has(r.id))];
      this.olderThan = answer.value.olderThan;
    } finally {
      this.busy = false;
    }
  }

  isOverlaid(id: string): boolean {
    return this.overlaid.some((o) => o.run.id === id);
  }

  /** @returns whether the run lies on the plot afterwards. */
  async toggle(run: Run): Promise<boolean> {
    this.refused = '';
    if (this.selection.has(run.id)) {
      this.takeOff(run.id);
      return false;
    }
    const why = this.selection.add(run.id);
    if (why !== null) {
      this.refused = why;
      return false;
    }
    const place = this.selection.placeOf(run.id);
    const [curves, levels] = await Promise.all([api.curves(run.id), api.levels(run.id)]);
    if (!curves.ok) {
      this.takeOff(run.id);
      this.refused = curves.title;
      return false;
    }
    if (!this.selection.has(run.id)) return false;
    this.overlaid = [...this.overlaid, { run, place, curves: curves.value.curves.map(savedCurve), levels: levels.ok ? levels.value : null }];
    this.levelsOf ??= run.id;
    return true;
  }

  clear(): void {
    this.selection.clear();
    this.overlaid = [];
    this.levelsOf = null;
    this.refused = '';
  }

  private takeOff(id: string): void {
    this.selection.remove(id);
    this.overlaid = this.overlaid.filter((o) => o.run.id !== id);
    if (this.levelsOf === id) this.levelsOf = this.overlaid[0]?.run.id ?? null;
  }
}

export const runs = new RunsStore();
