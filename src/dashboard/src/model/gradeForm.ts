import type { Refusal } from '../api/types';
import { number } from './planForm';

/** Grades as they are typed: an end that is left empty is no limit. */
export interface LimitForm { quantity: string; lowest: string; highest: string }
export interface GradeFormItem { name: string; limits: LimitForm[] }
export interface GradesForm { guard: string; grades: GradeFormItem[] }

export const emptyLimit = (quantity: string): LimitForm => ({ quantity, lowest: '', highest: '' });

/** What a lot begins with: one grade with a limit that everybody has to fill in. */
export const emptyGrades = (): GradesForm => ({ guard: '1', grades: [{ name: 'first', limits: [emptyLimit('pentode.vol')] }] });

/** Whether there is anything to ask the service about. */
export const hasLimit = (form: GradesForm): boolean => form.grades.some((g) => g.limits.some((l) => l.lowest.trim() !== '' || l.highest.trim() !== ''));

/** The document grades/1. @param unitOf the unit of a quantity by its word */
export function gradesDocument(form: GradesForm, unitOf: (word: string) => string): unknown {
  const end = (name: 'lowest' | 'highest', typed: string): object => (typed.trim() === '' ? {} : { [name]: number(typed) });
  return {
    format: 'grades/1',
    guard: number(form.guard),
    grades: form.grades.map((g) => ({
      name: g.name.trim(),
      limits: g.limits.map((l) => ({ quantity: l.quantity, unit: unitOf(l.quantity), ...end('lowest', l.lowest), ...end('highest', l.highest) })),
    })),
  };
}

/** Refusals of one line of the form. */
export const ofLimit = (refusals: readonly Refusal[], grade: number, limit: number): Refusal[] => under(refusals, `/grades/${grade}/limits/${limit}`);

/** Refusals of a grade that are of none of its lines. */
export const ofGrade = (refusals: readonly Refusal[], grade: number): Refusal[] => under(refusals, `/grades/${grade}`).filter((r) => !/\/limits\/\d+/.test(r.path));

/** Refusals of no grade. */
export const ofNone = (refusals: readonly Refusal[]): Refusal[] => refusals.filter((r) => !/\/grades\/\d+/.test(r.path));

/** Only pointers within the document matter; what stands before them is the request's own. */
function under(refusals: readonly Refusal[], path: string): Refusal[] {
  return refusals.filter((r) => r.path === path || r.path.startsWith(`${path}/`));
}

const kept = 'sweeprig.grades.';

/** The limits that were last looked at for a lot in this browser. */
export function keptGrades(lot: string): GradesForm | null {
  try {
    const was = JSON.parse(localStorage.getItem(kept + lot) ?? 'null') as GradesForm | null;
    return was !== null && typeof was.guard === 'string' && Array.isArray(was.grades) && was.grades.every((g) => typeof g.name === 'string' && Array.isArray(g.limits)) ? was : null;
  } catch {
    return null;
  }
}

export function keepGrades(lot: string, form: GradesForm): void {
  try {
    localStorage.setItem(kept + lot, JSON.stringify(form));
  } catch {
    // Holds until the page is left.
  }
}
