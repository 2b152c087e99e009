import { call } from './call';
import type { BookedTubes, Drift, LotFigures, LotGrades, LotList, LotSummary, Pairing, QuantityList, Spares, StockTubes, TubeWithRuns } from './types';

/** Milliseconds: constants of a lot take some seconds a tube when they are first asked for, and a pairing is proven. */
const patienceForLots = 300_000;

const lot = (name: string) => `/lots/${encodeURIComponent(name)}`;
const many = (name: string, values: readonly string[]) => new URLSearchParams(values.map((v) => [name, v])).toString();
const tube = (label: string) => `/tubes/${encodeURIComponent(label)}`;

/** What the service knows and does about the stock. */
export const stockApi = {
  lots: () => call<LotList>('GET', '/lots'),
  book: (body: unknown) => call<BookedTubes>('POST', '/lots', { body }),
  /** @param conditions as a query, empty for all */
  tubes: (conditions: string, limit: number, after: string | null, signal: AbortSignal) =>
    call<StockTubes>('GET', `/tubes?limit=${limit}${after === null ? '' : `&after=${encodeURIComponent(after)}`}${conditions === '' ? '' : `&${conditions}`}`, { signal }),
  tube: (label: string, signal: AbortSignal) => call<TubeWithRuns>('GET', tube(label), { signal }),
  quantities: () => call<QuantityList>('GET', '/quantities'),
  summary: (name: string, words: readonly string[], signal: AbortSignal) => call<LotSummary>('GET', `${lot(name)}/summary?${many('quantity', words)}`, { signal, within: patienceForLots }),
  figures: (name: string, words: readonly string[], signal: AbortSignal) => call<LotFigures>('GET', `${lot(name)}/figures?${many('quantity', words)}`, { signal, within: patienceForLots }),
  previewGrades: (name: string, grades: unknown, signal: AbortSignal) => call<LotGrades>('POST', `${lot(name)}/grades/preview`, { body: grades, signal, within: patienceForLots }),
  giveGrades: (name: string, grades: unknown) => call<LotGrades>('POST', `${lot(name)}/grades`, { body: grades, within: patienceForLots }),
  pairs: (name: string, by: readonly string[], worst: boolean, signal: AbortSignal) =>
    call<Pairing>('GET', `${lot(name)}/pairs?${[many('by', by), ...(worst ? ['worst=true'] : [])].join('&')}`, { signal, within: patienceForLots }),
  spares: (label: string, keep: readonly string[], signal: AbortSignal) => call<Spares>('GET', `${tube(label)}/spares?${many('keep', keep)}`, { signal, within: patienceForLots }),
  drift: (label: string, quantity: string, signal: AbortSignal) => call<Drift>('GET', `${tube(label)}/drift?${many('quantity', [quantity])}`, { signal, within: patienceForLots }),
  /** With grades: the lot is shown under these, and else under those that its tubes were given. */
  lotReportAddress: (name: string, kind: 'html' | 'pdf', grades: unknown) => `/api${lot(name)}/report.${kind}${grades === null ? '' : `?grades=${encodeURIComponent(JSON.stringify(grades))}`}`,
  /** @param skip labels of the first sheet that are used up, as typed */
  labelsAddress: (name: string, skip: string) => `/api/labels.pdf?${many('lot', [name])}${skip.trim() === '' ? '' : `&skip=${encodeURIComponent(skip.trim())}`}`,
  stockCsvAddress: (name: string) => `/api/stock.csv?${many('lot', [name])}`,
  /** All that another bench needs to repeat and re-judge the runs of a lot. */
  archiveAddress: (name: string) => `/api/archive?${many('lot', [name])}`,
  tubeSheetAddress: (label: string, kind: 'html' | 'pdf') => `/api${tube(label)}/report.${kind}`,
  change: (label: string, change: string, text: string) => call<TubeWithRuns>('POST', `${tube(label)}/changes`, { body: { change, text } }),
};
