import type { StockTubeItem } from '../api/types';

export type TubeState = StockTubeItem['state'];

/** Shape and word of a state; colour says the same once more. */
export const stateShapes: Record<TubeState, string> = { new: '○', screened: '◐', graded: '●', 'in use': '■', retired: '✕' };

export const tubeStates = Object.keys(stateShapes) as TubeState[];

export const changes = ['note', 'move', 'identify', 'use', 'free', 'retire', 'return'] as const;
export type Change = (typeof changes)[number];

interface ChangeWords {
  /** On the list of acts. */
  does: string;
  /** What the text is. */
  asks: string;
  example: string;
  /** States that it can happen in. */
  when: (state: TubeState) => boolean;
}

const inStock = (state: TubeState): boolean => state !== 'retired';

export const changeWords: Record<Change, ChangeWords> = {
  note: { does: 'Keep a note', asks: 'Note', example: 'pin 3 straightened', when: () => true },
  move: { does: 'Put it away', asks: 'Box or drawer', example: 'drawer 3', when: inStock },
  identify: { does: 'Say what type it is', asks: 'Type', example: 'EF91', when: inStock },
  use: { does: 'Put it to use', asks: 'Circuit and position', example: 'tide clock, bit 2', when: (s) => inStock(s) && s !== 'in use' },
  free: { does: 'Take it out of its circuit', asks: 'Why', example: 'swapped for a trial', when: (s) => s === 'in use' },
  retire: { does: 'Retire it', asks: 'Why', example: 'getter is white', when: inStock },
  return: { does: 'Bring it back into the stock', asks: 'Why', example: 'it was another one', when: (s) => s === 'retired' },
};

export const changesOf = (state: TubeState): Change[] => changes.filter((c) => changeWords[c].when(state));

/** A number as it is written on tubes: prefix, count, and perhaps a section. */
const numberShape = /^[A-Z0-9]{1,12}-\d{3,5}(\/\d)?$/;

/** The number that was typed or scanned, as it is written; null when it is none. */
export function tubeNumber(typed: string): string | null {
  const number = typed.trim().toUpperCase();
  return numberShape.test(number) ? number : null;
}

/** Conditions of the list, as the address has them. */
export const conditions = ['find', 'lot', 'type', 'state', 'grade', 'place'] as const;

/** The conditions of an address as the query that the service takes; empty for none. */
export function conditionsOf(query: URLSearchParams): string {
  const asked = new URLSearchParams();
  for (const name of conditions) {
    const value = query.get(name)?.trim() ?? '';
    if (value !== '') asked.set(name, value);
  }
  return asked.toString();
}

/** `SKUA-001 to SKUA-040`, or the one. */
export function labelRange(labels: readonly string[]): string {
  const [first, last] = [labels[0], labels.at(-1)];
  return first === undefined ? '' : labels.length === 1 ? first : `${first} to ${last}`;
}
