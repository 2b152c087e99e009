import { stockApi } from '../api/stock';
import type { BookedTubes, Lot, Refusal, StockTubeItem, StockTubes, TubeWithRuns } from '../api/types';
import { Asked } from './asked.svelte';

const page = 50;
const mostAtOnce = 500;

/** Tubes of the stock that are like what the address asks, the lots, and the tube that is called up. */
class StockStore {
  tubes = $state.raw<StockTubeItem[]>([]);
  found = $state(0);
  /** Tubes of the whole stock; null before anything was read. */
  inStock = $state<number | null>(null);
  after = $state<string | null>(null);
  choices = $state.raw<StockTubes['choices']>({ lots: [], types: [], grades: [], places: [] });
  lots = $state.raw<Lot[]>([]);
  refusals = $state.raw<Refusal[]>([]);
  busy = $state(false);
  /** The tube that is called up. */
  tube = new Asked<TubeWithRuns>();
  booked = $state.raw<BookedTubes | null>(null);
  bookRefusals = $state.raw<Refusal[]>([]);

  private conditions = '';
  private asked: AbortController | null = null;

  /** Lists anew, as many tubes as are shown; what is shown stays until then. */
  async list(conditions: string): Promise<void> {
    const shown = conditions === this.conditions ? this.tubes.length : 0;
    this.conditions = conditions;
    await this.read(Math.min(mostAtOnce, Math.max(page, shown)), null);
  }

  async more(): Promise<void> {
    if (this.after !== null && !this.busy) await this.read(page, this.after);
  }

  async callUp(label: string): Promise<void> {
    await this.tube.ask((signal) => stockApi.tube(label, signal));
  }

  async readLots(): Promise<void> {
    const answer = await stockApi.lots();
    if (answer.ok) this.lots = answer.value.lots;
  }

  /** @returns whether it stands in the history now */
  async change(label: string, change: string, text: string): Promise<Refusal[]> {
    const answer = await stockApi.change(label, change, text);
    if (!answer.ok) return answer.refusals;
    if (this.tube.value?.tube.label === label) this.tube.value = answer.value;
    await this.list(this.conditions);
    return [];
  }

  async book(body: unknown): Promise<boolean> {
    const answer = await stockApi.book(body);
    this.bookRefusals = answer.ok ? [] : answer.refusals;
    this.booked = answer.ok ? answer.value : null;
    if (answer.ok) await Promise.all([this.list(this.conditions), this.readLots()]);
    return answer.ok;
  }

  private async read(limit: number, after: string | null): Promise<void> {
    this.asked?.abort();
    const own = new AbortController();
    this.asked = own;
    this.busy = true;
    try {
      const answer = await stockApi.tubes(this.conditions, limit, after, own.signal);
      if (own.signal.aborted) return;
      this.refusals = answer.ok ? [] : answer.refusals;
      if (!answer.ok) return;
      this.tubes = after === null ? answer.value.tubes : [...this.tubes, ...answer.value.tubes];
      this.found = answer.value.found;
      this.inStock = answer.value.inStock;
      this.after = answer.value.after;
      this.choices = answer.value.choices;
    } catch {
      // A newer question is under way.
    } finally {
      if (this.asked === own) this.busy = false;
    }
  }
}

export const stock = new StockStore();
