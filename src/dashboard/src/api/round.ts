import { call } from './call';
import { atRig } from './rig';
import type { Round, RoundStatus } from './types';

/** The screening round of the rig. */
export const roundApi = {
  status: () => call<RoundStatus>('GET', atRig('/round')),
  begin: (body: unknown) => call<Round>('POST', atRig('/round'), { body }),
  /** One line that was typed, scanned or tapped; empty for: what was asked for is done. */
  enter: (text: string) => call<Round>('POST', atRig('/round/entry'), { body: { text } }),
  end: () => call<Round>('DELETE', atRig('/round')),
};
