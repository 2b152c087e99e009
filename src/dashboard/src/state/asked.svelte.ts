import type { Outcome } from '../api/client';
import type { Refusal } from '../api/types';

/** Something asked of the service: the newest answer stands until the next has come, so that nothing jumps meanwhile. */
export class Asked<T> {
  value = $state.raw<T | null>(null);
  refusals = $state.raw<Refusal[]>([]);
  busy = $state(false);

  private under: AbortController | null = null;

  async ask(question: (signal: AbortSignal) => Promise<Outcome<T>>): Promise<void> {
    this.under?.abort();
    const own = new AbortController();
    this.under = own;
    this.busy = true;
    try {
      const answer = await question(own.signal);
      if (own.signal.aborted) return;
      this.value = answer.ok ? answer.value : null;
      this.refusals = answer.ok ? [] : answer.refusals;
    } catch {
      // A newer question is under way.
    } finally {
      if (this.under === own) this.busy = false;
    }
  }

  clear(): void {
    this.under?.abort();
    this.under = null;
    this.value = null;
    this.refusals = [];
    this.busy = false;
  }
}
