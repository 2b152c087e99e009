import { interlockApi } from '../api/interlocks';
import type { InterlockList, InterlockRule } from '../api/types';
import { ruleOf } from '../model/ruleWords';
import { Asked } from './asked.svelte';
import { store } from './bench.svelte';

/** The rules; they change only where the service starts anew, and are then asked again. */
class InterlockStore {
  asked = new Asked<InterlockList>();

  get rules(): readonly InterlockRule[] {
    return this.asked.value?.rules ?? [];
  }

  /** The rule behind the trip that stands; null without one. */
  get fired(): InterlockRule | null {
    const trip = store.bench?.trip ?? null;
    return trip === null ? null : ruleOf(trip.cause, this.rules);
  }

  learn(): Promise<void> {
    return this.asked.ask(() => interlockApi.list());
  }
}

export const interlocks = new InterlockStore();
