import type { Refusal } from '../api/types';

/**
 * Refusals by field. One that points at a part that no field shows (a whole object, or nothing) goes to the nearest field that shows its
 * parent, and failing that to the general list, so that none is ever lost.
 */
export function refusalsByField(refusals: readonly Refusal[], fields: readonly string[]): { at: Map<string, Refusal[]>; general: Refusal[] } {
  const at = new Map<string, Refusal[]>();
  const general: Refusal[] = [];
  for (const refusal of refusals) {
    let path = refusal.path;
    while (path !== '' && !fields.includes(path)) path = path.slice(0, path.lastIndexOf('/'));
    if (path === '') general.push(refusal);
    else at.set(path, [...(at.get(path) ?? []), refusal]);
  }
  return { at, general };
}

/** One sentence or two: what was asked, what is allowed, what to do. */
export function refusalText(refusal: Refusal): string {
  return `${sentence(refusal.asked)}; ${refusal.allowed}. ${refusal.remedy}`;
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
