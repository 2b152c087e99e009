/**
 * The one animation frame of the page. Whoever receives data appends them and asks for a frame; all drawing happens in it, at most once a
 * frame, however many messages came.
 */
type Draw = () => void;

const drawers = new Set<Draw>();
const painted = new Set<Draw>();
let asked = false;

// A message posted in a frame is taken after the browser has handed that frame on, which is when a delay may be read.
const afterFrame = new MessageChannel();
afterFrame.port1.onmessage = () => {
  for (const told of painted) told();
};

/** Draws whenever something is dirty. @returns the way out. */
export function onFrame(draw: Draw): () => void {
  drawers.add(draw);
  return () => drawers.delete(draw);
}

/** Is told after each painted frame. */
export function onPainted(told: Draw): () => void {
  painted.add(told);
  return () => painted.delete(told);
}

export function markDirty(): void {
  if (asked) return;
  asked = true;
  requestAnimationFrame(() => {
    asked = false;
    for (const draw of drawers) draw();
    afterFrame.port2.postMessage(null);
  });
}
