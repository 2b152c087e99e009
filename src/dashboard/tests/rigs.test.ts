import { describe, expect, it } from 'vitest';
import { atRig, chosenIn } from '../src/api/rig';
import type { RigGlance } from '../src/api/types';
import { elsewhere, shownRig } from '../src/model/rigWords';

const rig = (name: string, trip: string | null = null): RigGlance => ({
  name, state: trip === null ? 'connected' : 'tripped', what: name, serialNumber: name, sockets: 4, linkFault: null, runId: null, heaterOn: false,
  trip: trip === null ? null : { cause: 'grid-current', title: trip, likelyCause: '', remedy: '', byRig: true, measured: '', limit: '', occurredUtc: '2026-03-14T09:26:53.000Z', causeGone: false },
});

describe('the rig that a page is about', () => {
  it('stands in its address, and is the first without', () => {
    expect(chosenIn('?rig=left')).toBe('left');
    expect(chosenIn('?rig=')).toBeNull();
    expect(chosenIn('')).toBeNull();
    const rigs = [rig('left'), rig('right')];
    expect(shownRig(rigs, null)?.name).toBe('left');
    expect(shownRig(rigs, 'right')?.name).toBe('right');
    expect(shownRig(rigs, 'middle')).toBeUndefined();
  });

  it('is named in what concerns it', () => {
    expect(atRig('/bench', null)).toBe('/bench');
    expect(atRig('/bench', 'left')).toBe('/bench?rig=left');
    expect(atRig('/runs?limit=1', 'left')).toBe('/runs?limit=1&rig=left');
  });

  it('hides no trip on another', () => {
    expect(elsewhere([rig('left', 'Grid current'), rig('right')], null)).toBe('');
    expect(elsewhere([rig('left'), rig('right', 'Grid current'), rig('far', 'Stale data')], null)).toBe('Rig right tripped: Grid current. Rig far tripped: Stale data.');
    expect(elsewhere([rig('left', 'Grid current'), rig('right')], 'right')).toBe('Rig left tripped: Grid current.');
  });
});
