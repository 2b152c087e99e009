import type { RigGlance } from '../api/types';

/** What matters most about a rig, as word and as the tone that its mark has. */
export const rigWords: Record<RigGlance['state'], { word: string; tone: 'good' | 'heed' | 'off' | 'tripped' }> = {
  connecting: { word: 'Connecting', tone: 'heed' },
  lost: { word: 'Lost', tone: 'heed' },
  connected: { word: 'Connected', tone: 'good' },
  warming: { word: 'Warming', tone: 'good' },
  sweeping: { word: 'Sweeping', tone: 'good' },
  holding: { word: 'Holding', tone: 'good' },
  tripped: { word: 'Tripped', tone: 'tripped' },
};

/** The rig that is shown: the one that was chosen, else the first; undefined where the chosen one is not there. */
export function shownRig(rigs: readonly RigGlance[], chosen: string | null): RigGlance | undefined {
  return chosen === null ? rigs[0] : rigs.find((r) => r.name === chosen);
}

/** What is said of the rigs that are not shown, to people who hear the page; empty for nothing. */
export function elsewhere(rigs: readonly RigGlance[], chosen: string | null): string {
  const shown = shownRig(rigs, chosen);
  return rigs.filter((r) => r !== shown && r.trip !== null).map((r) => `Rig ${r.name} tripped: ${r.trip!.title}.`).join(' ');
}
