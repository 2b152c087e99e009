import { describe, expect, test } from 'vitest';
import type { PlanDocument, Run } from '../src/api/types';
import { familyPlan } from '../src/model/familyPlan';
import { otherResistors } from '../src/model/fitWords';

const connection: PlanDocument['connection'] = {
  kind: 'pentode', plateRailVolts: 28, biasRailVolts: -14, heaterVolts: 6.3, plateResistorOhms: 10_000, screenResistorOhms: 100, gridStopperOhms: 4_700,
};

function run(id: string, changes: Partial<PlanDocument['connection']> = {}, secondSource?: PlanDocument['secondSource']): Run {
  const plan = {
    format: 'sweep-plan/1', name: 'look', drive: { startVolts: -14, stopVolts: 0, points: 141, direction: 'upAndDown' }, dwellMicroseconds: 2_000, averaging: { conversions: 16 }, repeats: 3,
    connection: { ...connection, ...changes }, ...(secondSource === undefined ? {} : { secondSource }),
  };
  return { id, plan, connection: plan.connection.kind, plateRail: plan.connection.plateRailVolts } as unknown as Run;
}

describe('families', () => {
  test('the sweep that makes one keeps the drives and steps the rail up to that of the run', () => {
    const plan = familyPlan(run('a'))!;
    expect(plan.connection).toEqual({ ...connection, kind: 'triode' });
    expect(plan.secondSource).toEqual({ source: 'plateRail', fromVolts: 7, toVolts: 28, steps: 7 });
    expect([plan.drive.startVolts, plan.drive.stopVolts, plan.drive.direction, plan.repeats]).toEqual([-14, 0, 'up', 1]);
    expect(plan.name.length).toBeLessThanOrEqual(80);
  });

  test('a run whose plan is not known makes none', () => expect(familyPlan({ ...run('a'), plan: null } as unknown as Run)).toBeNull());

  test('of each other resistor the newest run helps, and none that differs in more', () => {
    const others = [
      run('newest', { plateResistorOhms: 22_000 }), run('older', { plateResistorOhms: 22_000 }), run('third', { plateResistorOhms: 4_700 }), run('same'),
      run('triode', { plateResistorOhms: 15_000, kind: 'triode' }), run('rail', { plateResistorOhms: 15_000, plateRailVolts: 20 }),
      run('stepped', { plateResistorOhms: 33_000 }, { source: 'plateRail', fromVolts: 7, toVolts: 28, steps: 7 }),
    ];
    expect(otherResistors(run('a'), others).map((r) => r.id)).toEqual(['newest', 'third']);
  });
});
