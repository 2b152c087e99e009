import type { FittedConstant } from '../api/types';

/** What a next sweep can be asked to make surer: words of the service, and titles for people. */
export function wantedChoices(constants: readonly FittedConstant[]): [string, string][] {
  return [
    ['switching', 'Switching point'],
    ['output', 'Output at a drive'],
    ['everything', 'All constants together'],
    ...constants.map((c): [string, string] => [c.name, c.title]),
  ];
}

const prefixes: [number, string][] = [[1, ''], [1e-3, 'm'], [1e-6, 'µ'], [1e-9, 'n'], [1e-12, 'p']];

/** A standard uncertainty to two digits with its unit; a ratio, and all constants together, in per cent. */
export function uncertaintyText(value: number, unit: string): string {
  if (unit === '1') return `${twoDigits(100 * value)} %`;
  if (unit === 'A/V^1.5') return `${value.toExponential(1)} ${unit}`;
  const [factor, prefix] = prefixes.find(([f]) => Math.abs(value) >= 0.9995 * f) ?? [1, ''];
  return `${twoDigits(value / factor)} ${prefix}${unit}`;
}

function twoDigits(value: number): string {
  if (value === 0) return '0';
  const decimals = Math.max(0, 1 - Math.floor(Math.log10(Math.abs(value))));
  return value >= 99.5 ? value.toFixed(0) : value.toFixed(Math.min(decimals, 6));
}
