import { call } from './call';
import type { Round, RoundStatus } from './types';

/** The screening round of the bench. */
export const roundApi = {
  status: () => call<RoundStatus>('GET', '/round'),
  begin: (body: unknown) => call<Round>('POST', '/round', { body }),
  /** One line that was typed, scanned or tapped; empty for: what was asked for is done. */
  enter: (text: string) => call<Round>('POST', '/round/entry', { body: { text } }),
  end: () => call<Round>('DELETE', '/round'),
};
