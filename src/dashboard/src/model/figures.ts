import type { Figure } from '../api/types';

export const minus = '\u2212';

/** A number with a true minus sign and a fixed count of decimals. */
export function fixed(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? minus + text : text;
}

/**
 * Decimals that show one digit of the uncertainty, two when the first is a 1: a rounded 0.14 as 0.1 would be off by a third.
 * The practice of the GUM (JCGM 100:2008, 7.2.6): one or two digits, the value to the same place.
 */
export function decimalsOf(uncertainty: number): number {
  if (!(uncertainty > 0) || !Number.isFinite(uncertainty)) return 3;
  const [mantissa, exponent] = uncertainty.toExponential(1).split('e') as [string, string];
  const digits = mantissa.startsWith('1') ? 2 : 1;
  return Math.min(9, Math.max(0, digits - 1 - Number(exponent)));
}

export interface FigureText {
  value: string;
  unit: string;
  /** Expanded, 95 %; empty when it was not estimated. */
  uncertainty: string;
}

const prefixes: [number, string][] = [[1, ''], [1e-3, 'm'], [1e-6, 'µ'], [1e-9, 'n']];

/** Value, unit and uncertainty for people; null when there is no value. A ratio carries no unit. */
export function figureText(figure: Figure): FigureText | null {
  if (figure.value === null || !Number.isFinite(figure.value)) return null;
  const current = figure.unit === 'A';
  const [scale, prefix] = current ? (prefixes.find(([s]) => Math.abs(figure.value!) >= s) ?? prefixes.at(-1)!) : prefixes[0]!;
  const value = figure.value / scale;
  const unit = figure.unit === '1' ? '' : prefix + figure.unit;
  const expanded = figure.expandedUncertainty ?? null;
  if (expanded === null || !Number.isFinite(expanded)) return { value: fixed(value, 2), unit, uncertainty: '' };
  const decimals = decimalsOf(expanded / scale);
  return { value: fixed(value, decimals), unit, uncertainty: (expanded / scale).toFixed(decimals) };
}

/** `4.7 kΩ` */
export function ohmsText(ohms: number): string {
  if (ohms >= 1e6) return `${trimmed(ohms / 1e6)} MΩ`;
  return ohms >= 1e3 ? `${trimmed(ohms / 1e3)} kΩ` : `${trimmed(ohms)} Ω`;
}

export function trimmed(value: number): string {
  return String(Number(value.toPrecision(6))).replace('-', minus);
}
