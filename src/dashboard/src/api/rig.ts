/** The rig that this page is about, as its address says (`/?rig=NAME#/bench`); null for the first. Another rig is another address, so that nothing of one is left on the other's page. */
export const chosenRig: string | null = chosenIn(globalThis.location?.search ?? '');

export function chosenIn(search: string): string | null {
  const name = new URLSearchParams(search).get('rig');
  return name === '' ? null : name;
}

/** The path of something that concerns a rig. */
export function atRig(path: string, rig = chosenRig): string {
  return rig === null ? path : `${path}${path.includes('?') ? '&' : '?'}rig=${encodeURIComponent(rig)}`;
}
