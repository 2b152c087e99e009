import { nightDocument, nightForm, unknownKeys, type NightForm } from './nightForm';

/** What a file holds: a night for the form, or why it does not go there. */
export type NightFile = { form: NightForm } | { why: string };

/** @param text of a file @param name of it, for people */
export function readNight(text: string, name: string): NightFile {
  let document: unknown;
  try {
    document = JSON.parse(text);
  } catch (fault) {
    return { why: `${name} is not JSON: ${fault instanceof Error ? fault.message : 'it cannot be read'}. Correct it, or export a night here to see the shape.` };
  }
  const form = nightForm(document);
  if (form === null) return { why: `${name} is no night: "format" must be "night/1". Nights are written by hand or exported here.` };
  const lost = unknownKeys(document, form);
  return lost.length === 0 ? { form } : { why: `${name} has what no night has: ${lost.slice(0, 5).join(', ')}${lost.length > 5 ? ` and ${lost.length - 5} more` : ''}. Correct or delete it, and choose the file again.` };
}

/** The document as a file, indented, so that people can edit it. */
export const nightText = (form: NightForm): string => `${JSON.stringify(nightDocument(form), null, 2)}\n`;
