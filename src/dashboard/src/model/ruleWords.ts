import type { Bench, InterlockLimit, InterlockRule } from '../api/types';
import { trimmed } from './figures';

/** Trips of a rig by its own limits, and the rule of the host on the same hazard, where the words differ. */
const sameHazard: Record<string, string> = {
  'supply-range': 'rail-highest', 'drive-read-back': 'read-back', 'lease-expired': 'link-lost', 'watchdog': 'rig-restarted', 'brown-out': 'rig-restarted', 'host-order': 'make-safe',
};

/** The rule behind a trip, the rig's own or the host's; null where no rule is about it. */
export function ruleOf(cause: string, rules: readonly InterlockRule[]): InterlockRule | null {
  return rules.find((r) => r.id === cause) ?? rules.find((r) => r.id === sameHazard[cause]) ?? rules.find((r) => r.causes.includes(cause)) ?? null;
}

/** A limit of the rule with its unit. */
export function limitText(limit: InterlockLimit, unattended: boolean): string {
  return withUnit(unattended ? limit.unattended : limit.attended, limit.unit);
}

/** Whole hours as hours: nobody reads 28800 s. */
function withUnit(value: number, unit: string): string {
  return unit === 's' && value >= 3600 && value % 3600 === 0 ? `${value / 3600} h` : `${trimmed(value)} ${unit}`;
}

/** What a bench may set, and which way is tighter. */
export function rangeText(limit: InterlockLimit): string {
  const [least, most] = [Math.min(limit.tightest, limit.loosest), Math.max(limit.tightest, limit.loosest)];
  return `${trimmed(least)} to ${trimmed(most)} ${limit.unit}, ${limit.loosest > limit.tightest ? 'lower' : 'higher'} is tighter`;
}

/** Where the numbers in force come from. */
export function originText(limit: InterlockLimit): string {
  return limit.isSet ? `Set by this bench; by default ${trimmed(limit.defaultAttended)} and ${trimmed(limit.defaultUnattended)} ${limit.unit}` : 'Default';
}

/** What is known of the rig after a trip: what it last said, and where it says nothing any more, what it does by itself. */
export function afterTrip(bench: Pick<Bench, 'link' | 'plateRailOn' | 'driveVolts' | 'heater'>): string {
  if (bench.link !== 'connected') return 'The rig cannot be asked. Left alone it makes itself safe within a third of a second; to be sure, look at its own lamps or switch its supply off.';
  const drive = bench.driveVolts === null ? 'The drive is not known' : bench.driveVolts > 0 ? 'The drive is still positive' : 'The drive is not positive';
  return `${drive}, the plate rail is ${bench.plateRailOn ? 'still on' : 'off'}, the heater is ${bench.heater.on ? 'still on, and the glass hot' : 'off'}.`;
}
