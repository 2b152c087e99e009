import { call } from './call';
import { atRig } from './rig';
import type { Morning, Night, NightExample, NightHead, NightPlan, NightStatus, NightSteps } from './types';

/** Milliseconds: the whole of a long night is worked out before it is answered. */
const patienceForPlans = 60_000;

const night = (id: string) => `/nights/${encodeURIComponent(id)}`;

/** Unattended work of a rig. */
export const nightApi = {
  examples: () => call<NightExample[]>('GET', '/nights/examples'),
  plan: (document: unknown, signal: AbortSignal) => call<NightPlan>('POST', atRig('/nights/plan'), { body: { document }, signal, within: patienceForPlans }),
  list: (limit: number) => call<NightHead[]>('GET', atRig(`/nights?limit=${limit}`)),
  steps: (id: string, from: number) => call<NightSteps>('GET', `${night(id)}/steps?from=${from}`),
  /** What must be known of the time since then. @param since in UTC; null for the last hours */
  morning: (since: string | null) => call<Morning>('GET', `/morning${since === null ? '' : `?since=${encodeURIComponent(since)}`}`),
  status: () => call<NightStatus>('GET', atRig('/night')),
  begin: (document: unknown) => call<Night>('POST', atRig('/night'), { body: { document }, within: patienceForPlans }),
  hold: (why: string) => call<Night>('POST', atRig('/night/hold'), { body: { why } }),
  goOn: () => call<Night>('POST', atRig('/night/go-on')),
  skip: (job: string) => call<Night>('POST', atRig('/night/skip'), { body: { job } }),
  end: () => call<Night>('DELETE', atRig('/night')),
};
