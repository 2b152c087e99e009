import type { Block, Pass } from '../src/api/types';
import type { RunShape } from '../src/model/liveRun';

export function pass(index: number, direction: 'up' | 'down' = 'up', points = 5): Pass {
  return { index, direction, points, repeat: 0, secondSourceVolts: null };
}

export function shape(...passes: Pass[]): RunShape {
  return { runId: 'run-a', driveStart: -4, driveStop: 0, passes };
}

/** A block whose plate voltage at point n is 10 + n, and whose currents are 1, 2 and 3 mA. */
export function block(sequence: number, points: number[], more: Partial<Block> = {}): Block {
  const of = (value: (point: number) => number) => points.map(value);
  return {
    runId: 'run-a', sequence, blocks: 1, pass: 0, pointIndex: points,
    drive: of((p) => -4 + p), plate: of((p) => 10 + p), grid: of(() => 0), screen: of(() => 28), supply: of(() => 28),
    plateCurrent: of(() => 1e-3), screenCurrent: of(() => 2e-3), gridCurrent: of(() => 3e-3),
    newestSampleUnixMs: 0, skippedBlocks: 0, ...more,
  };
}
