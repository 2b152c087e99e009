import { eventApi } from '../api/events';
import type { BenchEvent } from '../api/types';

/** Often enough for what nobody watched; a trip of the rig that is shown has its own banner, at once. */
const every = 5_000;

/** Events that nobody has seen. Kept by the service, so that they are seen once for all pages. */
class EventStore {
  events = $state.raw<BenchEvent[]>([]);
  unseen = $state(0);
  shown = $state(false);

  private newest = 0;

  listen(): void {
    void this.look();
    setInterval(() => { if (!document.hidden) void this.look(); }, every);
  }

  async look(): Promise<void> {
    const answer = await eventApi.unseen();
    if (answer.ok) this.take(answer.value.events, answer.value.unseen);
  }

  /** Says that everything listed was seen; what came meanwhile was not. */
  async markSeen(): Promise<void> {
    if (this.newest === 0) return;
    const answer = await eventApi.seen(this.newest);
    if (answer.ok) this.take(answer.value.events, answer.value.unseen);
  }

  private take(events: BenchEvent[], unseen: number): void {
    this.events = events;
    this.unseen = unseen;
    this.newest = events[0]?.number ?? 0;
    if (unseen === 0) this.shown = false;
  }
}

export const events = new EventStore();
