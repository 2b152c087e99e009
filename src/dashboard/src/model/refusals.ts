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
  return said(sentence(refusal.asked), refusal);
}

/** The same for a document, where a key is written as it stands, so that it can be found again. */
export function faultText(fault: Refusal): string {
  const key = fault.path.slice(fault.path.lastIndexOf('/') + 1);
  return key !== '' && fault.asked.startsWith(`${key} `) ? said(fault.asked, fault) : refusalText(fault);
}

/** A service that does not answer has no limit to name. */
function said(asked: string, { allowed, remedy }: Refusal): string {
  return `${allowed === '' ? asked : `${asked}; ${allowed}`}. ${remedy}`.trimEnd();
}

/** Refusals of a document that lies in a request, with pointers into the document alone. */
export function withinDocument(refusals: readonly Refusal[], root: string): Refusal[] {
  return refusals.map((r) => (r.path.startsWith(root) ? { ...r, path: r.path.slice(root.length) } : r));
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
