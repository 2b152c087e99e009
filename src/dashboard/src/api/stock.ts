import { call } from './call';
import type { BookedTubes, LotList, StockTubes, TubeWithRuns } from './types';

const tube = (label: string) => `/tubes/${encodeURIComponent(label)}`;

/** What the service knows and does about the stock. */
export const stockApi = {
  lots: () => call<LotList>('GET', '/lots'),
  book: (body: unknown) => call<BookedTubes>('POST', '/lots', { body }),
  /** @param conditions as a query, empty for all */
  tubes: (conditions: string, limit: number, after: string | null, signal: AbortSignal) =>
    call<StockTubes>('GET', `/tubes?limit=${limit}${after === null ? '' : `&after=${encodeURIComponent(after)}`}${conditions === '' ? '' : `&${conditions}`}`, { signal }),
  tube: (label: string, signal: AbortSignal) => call<TubeWithRuns>('GET', tube(label), { signal }),
  change: (label: string, change: string, text: string) => call<TubeWithRuns>('POST', `${tube(label)}/changes`, { body: { change, text } }),
};
