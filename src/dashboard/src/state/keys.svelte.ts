import { store } from './bench.svelte';
import { events } from './events.svelte';
import { plan } from './plan.svelte';
import { rigs } from './rigs.svelte';
import { route } from './route.svelte';
import { anotherKey, onceAlone, scanKey } from './scanner';
import { theme } from './theme.svelte';

export const list: { key: string; does: string }[] = [
  { key: 'Esc', does: 'Make safe, from anywhere, at once; all rigs where there are several' },
  { key: 'Ctrl Enter', does: 'Start the sweep as planned' },
  { key: 'Ctrl .', does: 'Stop the run without a trip' },
  { key: 'A', does: 'Acknowledge a trip whose cause is gone' },
  { key: 'B', does: 'Bench' },
  { key: 'S', does: 'Stock' },
  { key: 'O', does: 'Screening round: many tubes over the sockets' },
  { key: 'N', does: 'Night: work without you, and how it went' },
  { key: 'R', does: 'Runs' },
  { key: 'D', does: 'Logic: design gates of measured tubes' },
  { key: 'K', does: 'Calibration' },
  { key: 'I', does: 'Interlocks: every rule and its limits; when tripped, the one that fired' },
  { key: '/', does: 'To the search of the stock; ↓ goes to the tubes' },
  { key: 'E', does: 'Events that nobody has seen: show or hide' },
  { key: '1 … 8', does: 'To another rig, where there are several' },
  { key: 'P', does: 'To the permit' },
  { key: 'L', does: 'To the sweep plan' },
  { key: 'F', does: 'Fit the tube of the run that is shown' },
  { key: 'G', does: 'To the plate family of the run that is shown' },
  { key: 'C', does: 'To the plot; then ← → moves the crosshair, with Shift ten points' },
  { key: 'T', does: 'Paper, blueprint, or as the system has it' },
  { key: '?', does: 'This list' },
];

const kept = 'sweeprig.singleKeys';

class Keys {
  shown = $state(false);
  /** Letters without Ctrl disturb people who dictate; they can be switched off (WCAG 2.2, 2.1.4). */
  single = $state(read());

  setSingle(on: boolean): void {
    this.single = on;
    try {
      localStorage.setItem(kept, on ? 'on' : 'off');
    } catch {
      // Holds until the page is left.
    }
  }
}

export const keys = new Keys();

export function listen(): void {
  // Captured, so that no field or plot can keep Escape to itself.
  addEventListener('keydown', onKey, { capture: true });
}

function onKey(event: KeyboardEvent): void {
  if (event.key === 'Escape') {
    event.preventDefault();
    if (!event.repeat) void store.makeSafe();
    return;
  }
  if (event.repeat || event.altKey || event.isComposing || scanKey(event)) return;
  if (event.key !== 'Shift') anotherKey();
  if (event.ctrlKey || event.metaKey) {
    if (event.key === 'Enter') act(event, () => void plan.start());
    if (event.key === '.') act(event, () => void store.stop());
    return;
  }
  if (!keys.single || (event.target instanceof HTMLElement && event.target.closest('input, select, textarea') !== null)) return;
  const does = letters[event.key.toLowerCase()] ?? (/^[1-8]$/.test(event.key) ? () => rigs.go(Number(event.key)) : undefined);
  if (does !== undefined) act(event, () => onceAlone(does));
}

function act(event: KeyboardEvent, does: () => void): void {
  event.preventDefault();
  does();
}

const letters: Record<string, () => void> = {
  'a': () => { if (store.bench?.trip?.causeGone) void store.acknowledge(); },
  'b': () => route.go('bench'),
  's': () => route.go('stock'),
  'o': () => route.go('round'),
  'n': () => route.go('night'),
  'r': () => route.go('runs'),
  'd': () => route.go('logic'),
  'k': () => route.go('calibration'),
  'i': () => route.go('interlocks'),
  'e': () => { if (events.unseen > 0) events.shown = !events.shown; focus('[data-testid="events"]'); },
  't': () => theme.next(),
  'p': () => focus('[data-testid="permit-ceiling"], [data-testid="permit-end"]'),
  'l': () => focus('[data-testid="plan-example"]'),
  'f': () => document.querySelector<HTMLElement>('[data-testid="fit"]')?.click(),
  'g': () => focus('[data-testid="family-figure"] .plot, [data-testid="family-to-bench"]'),
  'c': () => focus('.plot'),
  '/': () => focus('[data-testid="stock-find"]'),
  '?': () => (keys.shown = !keys.shown),
};

function focus(selector: string): void {
  document.querySelector<HTMLElement>(selector)?.focus();
}

function read(): boolean {
  try {
    return localStorage.getItem(kept) !== 'off';
  } catch {
    return true;
  }
}
