import { api, type RunsOf } from '../api/client';
import type { CalibrationItem, CalibrationState, Refusal, Run, RunLevels } from '../api/types';
import { asMeasured, choiceFor } from '../model/calibrationChoice';
import { refusalText } from '../model/refusals';
import { savedCurve, type SavedCurve } from '../model/savedCurves';
import { Selection } from '../model/selection';

export interface Overlaid {
  run: Run;
  place: number;
  curves: SavedCurve[];
  levels: RunLevels | null;
  /** That curves and levels are derived with. */
  calibration: CalibrationState;
  /** Why it is not the one that was chosen; null when it is. */
  because: string | null;
}

const page = 30;

/** Recorded runs, and those that lie over one another on the plot. */
class RunsStore {
  list = $state.raw<Run[]>([]);
  olderThan = $state<string | null>(null);
  /** Which kind the list shows. */
  only = $state<RunsOf>('all');
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
  /** Calibrations on record, the newest first. */
  calibrations = $state.raw<CalibrationItem[]>([]);
  /** What all runs are shown with: a word of the service, or an id. */
  by = $state(asMeasured);
  deriving = $state(false);

  private readonly selection = new Selection();

  async refresh(): Promise<void> {
    const only = this.only;
    const [answer, kept] = await Promise.all([api.runs(Math.max(page, Math.min(500, this.list.length)), null, only), api.calibrations()]);
    if (only !== this.only) return;
    if (kept.ok) this.calibrations = kept.value.calibrations;
    this.fetched = true;
    if (!answer.ok) {
      this.refused = answer.title;
      return;
    }
    this.list = answer.value.runs;
    this.olderThan = answer.value.olderThan;
  }

  /** Lists runs of one kind; those that lie on the plot stay there. */
  async show(only: RunsOf): Promise<void> {
    this.only = only;
    this.list = [];
    this.olderThan = null;
    this.fetched = false;
    await this.refresh();
  }

  async more(): Promise<void> {
    if (this.olderThan === null || this.busy) return;
    this.busy = true;
    try {
      const answer = await api.runs(page, this.olderThan, this.only);
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
    const read = await this.read(run, place);
    if (typeof read === 'string') {
      this.takeOff(run.id);
      this.refused = read;
      return false;
    }
    if (!this.selection.has(run.id)) return false;
    this.overlaid = [...this.overlaid, read];
    this.levelsOf ??= run.id;
    return true;
  }

  /** Derives all that is shown anew; where that fails, everything stays as it was. */
  async choose(by: string): Promise<void> {
    const before = this.by;
    this.by = by;
    this.refused = '';
    this.deriving = true;
    try {
      const read = await Promise.all(this.overlaid.map((o) => this.read(o.run, o.place)));
      if (this.by !== by) return;
      const failed = read.find((r) => typeof r === 'string');
      if (failed !== undefined) {
        this.by = before;
        this.refused = failed;
        return;
      }
      // A run may have been put on or taken off meanwhile.
      this.overlaid = this.overlaid.map((o) => (read as Overlaid[]).find((r) => r.run.id === o.run.id) ?? o);
    } finally {
      if (this.by === by || this.by === before) this.deriving = false;
    }
  }

  clear(): void {
    this.selection.clear();
    this.overlaid = [];
    this.levelsOf = null;
    this.refused = '';
  }

  /** @returns the run with the calibration that is chosen, or why not. */
  private async read(run: Run, place: number): Promise<Overlaid | string> {
    const { query, because } = choiceFor(this.by, run.rigSerialNumber, this.calibrations);
    const [curves, levels] = await Promise.all([api.curves(run.id, query), api.levels(run.id, query)]);
    if (!curves.ok) return refusalTitle(curves.title, curves.refusals);
    return { run, place, curves: curves.value.curves.map(savedCurve), levels: levels.ok ? levels.value : null, calibration: curves.value.calibration, because };
  }

  private takeOff(id: string): void {
    this.selection.remove(id);
    this.overlaid = this.overlaid.filter((o) => o.run.id !== id);
    if (this.levelsOf === id) this.levelsOf = this.overlaid[0]?.run.id ?? null;
  }
}

function refusalTitle(title: string, refusals: readonly Refusal[]): string {
  const [first] = refusals;
  return first === undefined || first.path !== '/calibration' ? title : refusalText(first);
}

export const runs = new RunsStore();
