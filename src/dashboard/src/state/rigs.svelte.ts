import { api } from '../api/client';
import { chosenRig } from '../api/rig';
import type { RigGlance, RigList } from '../api/types';
import { elsewhere, shownRig } from '../model/rigWords';

/** All rigs of the service at a glance, whichever this page shows. */
class RigsStore {
  list = $state.raw<RigGlance[]>([]);

  readonly shown = $derived(shownRig(this.list, chosenRig));
  /** The address names a rig that is not there. */
  readonly missing = $derived(this.list.length > 0 && this.shown === undefined);
  /** One rig needs no chooser, unless the address names one that is not there. */
  readonly several = $derived(this.list.length > 1 || this.missing);
  readonly elsewhere = $derived(elsewhere(this.list, chosenRig));

  take(rigs: RigList): void {
    this.list = rigs.rigs;
  }

  async refresh(): Promise<void> {
    const answer = await api.rigs();
    if (answer.ok) this.take(answer.value);
  }

  /** By its place, from 1, as the keys have it. */
  go(place: number): void {
    const rig = this.list[place - 1];
    if (this.several && rig !== undefined && rig !== this.shown) location.href = this.addressOf(rig);
  }

  /** What the rig with a serial number is called here; the number itself for one that is not here now. */
  nameOf(serialNumber: string): string {
    return this.list.find((r) => r.serialNumber === serialNumber)?.name ?? serialNumber;
  }

  addressOf(rig: RigGlance): string {
    return `/?rig=${encodeURIComponent(rig.name)}${location.hash.split('?')[0]}`;
  }
}

export const rigs = new RigsStore();
