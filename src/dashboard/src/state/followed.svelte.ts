import type { Outcome } from '../api/client';
import { logicApi } from '../api/logic';
import type { LogicWork } from '../api/types';
import { Asked } from './asked.svelte';

const between = 500;

/** A long answer: asked, followed, and ended when nobody wants it any more. */
export class Followed<T> extends Asked<T> {
  /** How far it is; null in the first second and when nothing is under way. */
  work = $state.raw<LogicWork | null>(null);

  async follow(question: (work: string, signal: AbortSignal) => Promise<Outcome<T>>): Promise<void> {
    const name = crypto.randomUUID();
    this.work = null;
    const timer = setInterval(() => void logicApi.progress(name).then((answer) => (this.work = answer.ok && this.busy ? answer.value : this.work)), between);
    await this.ask((signal) => question(name, signal));
    clearInterval(timer);
    if (!this.busy) this.work = null;
  }
}
