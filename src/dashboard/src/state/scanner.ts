import { tubeNumber } from '../model/stock';
import { Bursts, scannerGap } from '../model/scanner';

type Taker = (number: string) => void;

/** Screens that want numbers, the newest last: it gets them. */
const takers: Taker[] = [];
const bursts = new Bursts();

/** The field that a burst went into, as it was before: a scan is no text for a field that happened to be looked at. */
let before: { field: HTMLInputElement | HTMLTextAreaElement; value: string } | null = null;

/** Hands numbers of tubes that are scanned anywhere on the page to a screen, until what it returns is called. */
export function onScan(taker: Taker): () => void {
  takers.push(taker);
  return () => void takers.splice(takers.indexOf(taker), 1);
}

/** @returns true when the key was the end of a scan and is used up */
export function scanKey(event: KeyboardEvent): boolean {
  const taker = takers.at(-1);
  if (taker === undefined || event.ctrlKey || event.metaKey || event.altKey) return false;
  const scanned = bursts.take(event.key, event.timeStamp);
  if (!bursts.running && scanned === null && event.key.length === 1) {
    const { target } = event;
    before = target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement ? { field: target, value: target.value } : null;
  }
  const number = scanned === null ? null : tubeNumber(scanned);
  if (number === null) return false;
  event.preventDefault();
  event.stopPropagation();
  if (before !== null) {
    before.field.value = before.value;
    before.field.dispatchEvent(new Event('input', { bubbles: true }));
    before = null;
  }
  taker(number);
  return true;
}

let waiting: ReturnType<typeof setTimeout> | undefined;

/** Acts on a letter; where a scanner may be typing, only once no other key has followed as fast as a scanner's would. */
export function onceAlone(act: () => void): void {
  clearTimeout(waiting);
  if (takers.length === 0) act();
  else if (!bursts.running) waiting = setTimeout(act, scannerGap);
}

/** Any key that follows belongs to the same burst, so the letter before it was none of its own. */
export function anotherKey(): void {
  clearTimeout(waiting);
}
