import { roundApi } from '../api/round';
import type { Outcome } from '../api/call';
import type { Refusal, Round } from '../api/types';
import { clock } from './clock.svelte';

/** The screening round as the page knows it, and what the operator does to it. */
class RoundStore {
  round = $state.raw<Round | null>(null);
  fetched = $state(false);
  refusals = $state.raw<Refusal[]>([]);
  busy = $state(false);

  private at = performance.now();
  private newest = 0;
  private waiting = 0;
  private last: Promise<unknown> = Promise.resolve();

  /** Seconds since the round was last heard of, for countdowns. */
  get since(): number {
    return Math.max(0, (clock.now - this.at) / 1000);
  }

  async refresh(): Promise<void> {
    const answer = await roundApi.status();
    if (!answer.ok) return;
    this.fetched = true;
    if (answer.value.round !== null) this.take(answer.value.round);
  }

  begin = (body: unknown): Promise<boolean> => this.act(() => roundApi.begin(body));
  enter = (text: string): Promise<boolean> => this.act(() => roundApi.enter(text));
  end = (): Promise<boolean> => this.act(() => roundApi.end());

  /** One after another: what is scanned while the answer to the last line is on its way must not be lost. */
  private act(ask: () => Promise<Outcome<Round>>): Promise<boolean> {
    this.waiting++;
    this.busy = true;
    const own = this.last.then(async () => {
      const answer = await ask();
      this.refusals = answer.ok ? [] : answer.refusals;
      if (answer.ok) this.take(answer.value);
      this.busy = --this.waiting > 0;
      return answer.ok;
    });
    this.last = own;
    return own;
  }

  /** An answer that was overtaken by a newer one is of no use. */
  private take(round: Round): void {
    if (this.round?.id === round.id && round.version < this.newest) return;
    this.newest = round.version;
    this.round = round;
    this.at = performance.now();
  }
}

export const rounds = new RoundStore();
