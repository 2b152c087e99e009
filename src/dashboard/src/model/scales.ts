/** What an axis is divided by and its unit then: `[1e-6, 'µA']` for values of some microamperes. */
export function axisScale(values: readonly number[], unit: string): [number, string] {
  if (unit === '1') return [1, ''];
  const size = Math.max(0, ...values.map(Math.abs));
  const steps: [number, string][] = [[1e6, 'M'], [1e3, 'k'], [1, ''], [1e-3, 'm'], [1e-6, 'µ'], [1e-9, 'n']];
  // Volts and watts stay as they are down to tenths: the levels of a curve read alike.
  const least = unit === 'V' ? 0.1 : 1;
  const [scale, prefix] = size === 0 ? [1, ''] : steps.find(([s]) => size >= s * least) ?? steps.at(-1)!;
  return [scale, prefix + unit];
}

/** A quantity on an axis, where its meaning has no room: `Switching drive, pentode, V` for `pentode.switching-drive`. */
export function axisTitle(word: string, unit: string): string {
  const [kind = '', name = word] = word.split('.');
  const title = /^v[oi][lh]$/.test(name) ? name.toUpperCase() : `${name.charAt(0).toUpperCase()}${name.slice(1).replaceAll('-', ' ')}`;
  return [title, ...(kind === 'pentode' || kind === 'triode' ? [kind] : []), ...(unit === '' ? [] : [unit])].join(', ');
}
