import type { RoundAsk, RoundSocket } from '../api/types';

/** Shape and word of what goes on in a socket. */
export const phases: Record<RoundSocket['phase'], [string, string]> = {
  empty: ['○', 'empty'], warming: ['◔', 'warming'], warm: ['◑', 'warm'], sweeping: ['▶', 'sweeping'], judging: ['◕', 'being looked at'], doubted: ['▲', 'which type?'], done: ['●', 'done'],
};

/** What a button says that enters a line. */
export function entryWords(entry: string, ask: RoundAsk): string {
  if (entry === '') return ask.removes == null ? 'It is in' : 'Out and in: done';
  if (entry === 'keep') return 'It is what is on record';
  if (entry.startsWith('type ')) return `It is a ${entry.slice(5)}`;
  if (entry === 'again') return 'Sweep it again';
  if (entry === 'acknowledge') return 'Acknowledge the trip';
  return entry;
}

/** Lines that a thumb can enter: a number is for the scanner, and a socket for the keyboard. */
export const tapped = (ask: RoundAsk): string[] => ask.entries.filter((e) => e !== ask.tube && !/^s\d+$/.test(e) && e !== 'aside');

/** The line that puts the tube asked for aside. */
export const asideLine = (ask: RoundAsk, why: string): string => `aside ${ask.tube ?? ''} ${why.trim()}`.trim();
