import type { Block, Pass } from '../api/types';
import { Sequences } from './sequences';

/** What a curve shows against the drive: the output in volts, the currents in milliamperes. */
export const quantities = ['plate', 'plateCurrent', 'screenCurrent', 'gridCurrent'] as const;
export type Quantity = (typeof quantities)[number];

/** A missing point is null, so that a plot breaks there and nothing joins over it. */
export type Column = (number | null)[];

export interface PassCurve {
  readonly pass: Pass;
  readonly columns: Record<Quantity, Column>;
  /** Points that have come. */
  count: number;
  /** The slot of the newest point, for a label that goes along; -1 before the first. */
  newest: number;
}

export interface RunShape {
  runId: string;
  driveStart: number;
  driveStop: number;
  passes: Pass[];
}

/** Passes whose points are held for drawing. A run of hundreds of repeats keeps the newest. */
export const passesHeld = 16;

/**
 * The curves of one run as they come. Points lie by rising drive whatever the direction of the pass, so that all passes share one drive
 * column. Taking the same block twice, or late, or after a jump, changes nothing but the points it carries.
 */
export class LiveRun {
  readonly sequences = new Sequences();
  /** Volts, by slot: as planned until the rig says what it put out. */
  readonly drive: number[];
  readonly currentRange = { least: 0, greatest: 0 };
  private readonly held = new Map<number, PassCurve>();

  constructor(readonly shape: RunShape) {
    const points = Math.max(1, ...shape.passes.map((p) => p.points));
    const step = points > 1 ? (shape.driveStop - shape.driveStart) / (points - 1) : 0;
    this.drive = Array.from({ length: points }, (_, slot) => shape.driveStart + slot * step);
  }

  /** Passes with points, in their order. */
  get passes(): PassCurve[] {
    return [...this.held.values()].sort((a, b) => a.pass.index - b.pass.index);
  }

  /** @returns false when nothing changed: another run's block, or one that has come before. */
  append(block: Block): boolean {
    if (block.runId !== this.shape.runId) return false;
    if (!this.sequences.add(block.sequence, block.sequence + Math.max(1, block.blocks))) return false;
    const curve = this.curveOf(block.pass);
    if (curve !== null) this.write(block, curve);
    return true;
  }

  private curveOf(index: number): PassCurve | null {
    const known = this.held.get(index);
    if (known !== undefined) return known;
    const pass = this.shape.passes.find((p) => p.index === index);
    if (pass === undefined) throw new RangeError(`SweepRig bug: pass ${index} of run ${this.shape.runId} was never announced`);
    if (this.held.size >= passesHeld) {
      const oldest = Math.min(...this.held.keys());
      if (index < oldest) return null;
      this.held.delete(oldest);
    }
    const empty = (): Column => new Array<number | null>(this.drive.length).fill(null);
    const curve: PassCurve = {
      pass,
      columns: { plate: empty(), plateCurrent: empty(), screenCurrent: empty(), gridCurrent: empty() },
      count: 0,
      newest: -1,
    };
    this.held.set(index, curve);
    return curve;
  }

  private write(block: Block, curve: PassCurve): void {
    const { pass, columns } = curve;
    for (let i = 0; i < block.pointIndex.length; i++) {
      const point = block.pointIndex[i]!;
      if (point >= pass.points) throw new RangeError(`SweepRig bug: point ${point} of pass ${pass.index}, which has ${pass.points}`);
      const slot = pass.direction === 'down' ? pass.points - 1 - point : point;
      if (columns.plate[slot] === null) curve.count++;
      const drive = finite(block.drive[i]);
      if (drive !== null) this.drive[slot] = drive;
      columns.plate[slot] = finite(block.plate[i]);
      columns.plateCurrent[slot] = this.milliamperes(block.plateCurrent[i]);
      columns.screenCurrent[slot] = this.milliamperes(block.screenCurrent[i]);
      columns.gridCurrent[slot] = this.milliamperes(block.gridCurrent[i]);
      curve.newest = slot;
    }
  }

  private milliamperes(amperes: number | null | undefined): number | null {
    const value = finite(amperes);
    if (value === null) return null;
    const milli = value * 1e3;
    if (milli < this.currentRange.least) this.currentRange.least = milli;
    if (milli > this.currentRange.greatest) this.currentRange.greatest = milli;
    return milli;
  }
}

function finite(value: number | null | undefined): number | null {
  return typeof value === 'number' && Number.isFinite(value) ? value : null;
}
