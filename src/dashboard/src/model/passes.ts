import type { Pass } from '../api/types';
import { trimmed } from './figures';

/** A pass in words, with only what tells it from its neighbours: `up`, `down, repeat 3`, `up, 24 V`. */
export function passWords(pass: Pass, all: readonly Pass[]): string {
  const words: string[] = [pass.direction];
  if (pass.secondSourceVolts !== null) words.push(`${trimmed(pass.secondSourceVolts)} V`);
  if (all.some((p) => p.repeat !== pass.repeat)) words.push(`repeat ${pass.repeat + 1}`);
  return words.join(', ');
}
