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

const prefixes: [number, string][] = [[1e6, 'M'], [1e3, 'k'], [1, ''], [1e-3, 'm'], [1e-6, 'µ'], [1e-9, 'n']];

/** Of prefixes above, what people write before a unit. Volts stay volts down to hundredths, so that the levels of a curve read alike. */
const prefixed: Record<string, (scale: number, size: number) => boolean> = {
  A: (scale) => scale <= 1, S: (scale) => scale <= 1, 'Ω': (scale) => scale >= 1, V: (scale, size) => scale === 1 || (scale < 1 && size < 0.01),
};

/** Value, unit and uncertainty for people; null when there is no value. A ratio carries no unit. */
export function figureText(figure: Figure): FigureText | null {
  if (figure.value === null || !Number.isFinite(figure.value)) return null;
  // By the uncertainty where it is the greater: `0 µS ± 5`, not `4 nS ± 5052`.
  const [scale, prefix] = prefixOf(Math.max(Math.abs(figure.value), figure.expandedUncertainty ?? 0), figure.unit);
  const value = figure.value / scale;
  const unit = figure.unit === '1' ? '' : prefix + figure.unit;
  const expanded = figure.expandedUncertainty ?? null;
  if (expanded === null || !Number.isFinite(expanded)) return { value: fixed(value, 2), unit, uncertainty: '' };
  const decimals = decimalsOf(expanded / scale);
  return { value: fixed(value, decimals), unit, uncertainty: (expanded / scale).toFixed(decimals) };
}

function prefixOf(size: number, unit: string): [number, string] {
  const fits = prefixes.filter(([scale]) => prefixed[unit]?.(scale, size) ?? scale === 1);
  return fits.find(([scale]) => size >= scale) ?? (size === 0 ? [1, ''] : fits.at(-1)!);
}

/** A number to three significant digits, with an SI prefix: `1.25 mV`, `0.98`. */
export function sized(value: number, unit: string): string {
  if (value === 0) return unit === '' ? '0' : `0 ${unit}`;
  const size = Math.abs(Number(value.toPrecision(3)));
  const [scale, prefix] = unit === '' ? [1, ''] : (prefixes.find(([s]) => size >= s) ?? prefixes.at(-1)!);
  const digits = value / scale;
  const text = size / scale >= 1e5 || size / scale < 1e-3 ? digits.toExponential(2).replace('-', minus).replace('e', ' × 10^') : fixed(digits, Math.max(0, 2 - Math.floor(Math.log10(size / scale))));
  return unit === '' ? text : `${text} ${prefix}${unit}`;
}

/** `4.7 kΩ` */
export function ohmsText(ohms: number): string {
  if (ohms >= 1e6) return `${trimmed(ohms / 1e6)} MΩ`;
  return ohms >= 1e3 ? `${trimmed(ohms / 1e3)} kΩ` : `${trimmed(ohms)} Ω`;
}

export function trimmed(value: number): string {
  return String(Number(value.toPrecision(6))).replace('-', minus);
}
