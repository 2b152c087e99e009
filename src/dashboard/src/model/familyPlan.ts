import type { PlanDocument, Run } from '../api/types';
import { trimmed } from './figures';

const steps = 7;

/** The sweep that shows the tube of a run as a family: its drives, in triode connection, the plate rail stepped up to that of the run. Null where the run's plan is not known. */
export function familyPlan(run: Run): PlanDocument | null {
  const plan = run.plan as PlanDocument | null | undefined;
  if (plan?.connection === undefined) return null;
  const [from, to] = [round(plan.connection.plateRailVolts / 4), plan.connection.plateRailVolts];
  return {
    ...plan,
    name: `Plate family in triode connection, ${trimmed(from)} V to ${trimmed(to)} V`,
    drive: { ...plan.drive, direction: 'up' },
    repeats: 1,
    secondSource: { source: 'plateRail', fromVolts: from, toVolts: to, steps },
    connection: { ...plan.connection, kind: 'triode' },
  };
}

function round(volts: number): number {
  return Number(volts.toFixed(1));
}
