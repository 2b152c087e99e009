/** Share of its size below which a drawing is scrolled instead of made smaller, so that its words stay legible on a telephone. */
const legible = 0.8;

/** How wide a drawing stands: as large as it was drawn, never wider than its place unless it could not be read. @param svg with a viewBox */
export function drawingStyle(svg: string): string {
  const width = Number(/viewBox="0 0 ([\d.]+) /.exec(svg)?.[1] ?? NaN);
  return Number.isFinite(width) ? `width: ${Math.ceil(width)}px; max-width: 100%; min-width: ${Math.ceil(width * legible)}px` : 'width: 100%';
}
