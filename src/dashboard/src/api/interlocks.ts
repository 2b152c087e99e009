import { call } from './call';
import type { InterlockList } from './types';

/** The rules of the host's interlocks, with the limits of this bench. Nothing on the page changes one. */
export const interlockApi = {
  list: () => call<InterlockList>('GET', '/interlocks'),
};
