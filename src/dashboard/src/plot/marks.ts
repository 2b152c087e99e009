/** Shapes that tell curves and levels apart without colour. Drawn round (x, y), `size` across, in device pixels. */
export type Shape = 'up' | 'down' | 'circle' | 'square' | 'diamond' | 'plus' | 'cross' | 'bar';

export const shapes: readonly Shape[] = ['circle', 'up', 'square', 'diamond', 'down', 'plus', 'cross', 'bar'];

export function drawShape(ctx: CanvasRenderingContext2D, shape: Shape, x: number, y: number, size: number, colour: string, hollow = false): void {
  const h = size / 2;
  ctx.beginPath();
  switch (shape) {
    case 'circle': ctx.arc(x, y, h * 0.85, 0, 2 * Math.PI); break;
    case 'up': path(ctx, [x, y - h], [x + h, y + h * 0.8], [x - h, y + h * 0.8]); break;
    case 'down': path(ctx, [x, y + h], [x + h, y - h * 0.8], [x - h, y - h * 0.8]); break;
    case 'square': path(ctx, [x - h * 0.8, y - h * 0.8], [x + h * 0.8, y - h * 0.8], [x + h * 0.8, y + h * 0.8], [x - h * 0.8, y + h * 0.8]); break;
    case 'diamond': path(ctx, [x, y - h], [x + h, y], [x, y + h], [x - h, y]); break;
    case 'plus': lines(ctx, [x - h, y, x + h, y], [x, y - h, x, y + h]); break;
    case 'cross': lines(ctx, [x - h * 0.8, y - h * 0.8, x + h * 0.8, y + h * 0.8], [x - h * 0.8, y + h * 0.8, x + h * 0.8, y - h * 0.8]); break;
    case 'bar': lines(ctx, [x, y - h, x, y + h]); break;
  }
  const open = hollow || shape === 'plus' || shape === 'cross' || shape === 'bar';
  if (open) {
    ctx.strokeStyle = colour;
    ctx.lineWidth = Math.max(1, size / 5);
    ctx.stroke();
  } else {
    ctx.fillStyle = colour;
    ctx.fill();
  }
}

/** The same shapes as words of text, for tables and lists. */
export const shapeText: Record<Shape, string> = {
  circle: '●', up: '▲', square: '■', diamond: '◆', down: '▼', plus: '+', cross: '×', bar: '|',
};

function path(ctx: CanvasRenderingContext2D, ...points: [number, number][]): void {
  points.forEach(([x, y], i) => (i === 0 ? ctx.moveTo(x, y) : ctx.lineTo(x, y)));
  ctx.closePath();
}

function lines(ctx: CanvasRenderingContext2D, ...segments: [number, number, number, number][]): void {
  for (const [x0, y0, x1, y1] of segments) {
    ctx.moveTo(x0, y0);
    ctx.lineTo(x1, y1);
  }
}
