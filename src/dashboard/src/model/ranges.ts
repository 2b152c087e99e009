/** A round number at or above: 1, 2, 2.5 or 5 times a power of ten. Keeps an axis still while data grow. */
export function roundUp(value: number): number {
  if (!(value > 0)) return 0;
  const power = 10 ** Math.floor(Math.log10(value));
  const step = [1, 2, 2.5, 5, 10].find((s) => s * power >= value * (1 - 1e-9))!;
  return step * power;
}

/** Range of a current axis in milliamperes: round, around 0, never narrower than 0.1 mA. */
export function currentAxis(least: number, greatest: number): [number, number] {
  const top = Math.max(0.1, roundUp(greatest * 1.02));
  const bottom = least < -0.02 * top ? -roundUp(-least * 1.02) : -0.03 * top;
  return [bottom, top];
}

/** Range of the output axis in volts for a rail. */
export function outputAxis(rail: number): [number, number] {
  return [0, Math.max(1, rail * 1.06)];
}

/** Decimals that write each multiple of a step as it is: 1 for 2.5, 0 for 5. */
export function decimalsOfStep(step: number): number {
  for (let decimals = 0; decimals < 6; decimals++) {
    const scaled = step * 10 ** decimals;
    if (Math.abs(scaled - Math.round(scaled)) < 1e-6 * Math.max(1, scaled)) return decimals;
  }
  return 6;
}
