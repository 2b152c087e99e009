import { call } from './call';
import type { EventList } from './types';

/** What befell the bench while nobody looked. */
export const eventApi = {
  /** Warnings and alarms that nobody has seen, the newest first. */
  unseen: () => call<EventList>('GET', '/events?unseen=true&least=warning'),
  /** Notes that everything up to a number was seen. */
  seen: (upTo: number) => call<EventList>('POST', '/events/seen', { body: { upTo } }),
};
