import { call } from './call';
import type { BistablePairs, GateCheck, GateList, GateYield, LogicTubes, LogicWork, Stage, ValueSearch } from './types';

/** Milliseconds: a lot is fitted first, a second or so a tube, and a search tries thousands of values. */
const patience = 900_000;

const ask = <T>(what: string, body: unknown, work: string, signal: AbortSignal) => call<T>('POST', `/logic/${what}?work=${encodeURIComponent(work)}`, { body, signal, within: patience });

/** Circuits of measured tubes. @param work a name under which `progress` tells how far the answer is */
export const logicApi = {
  gates: () => call<GateList>('GET', '/logic/gates'),
  tubes: () => call<LogicTubes>('GET', '/logic/tubes', { within: 60_000 }),
  stage: (body: unknown, work: string, signal: AbortSignal) => ask<Stage>('stage', body, work, signal),
  search: (body: unknown, work: string, signal: AbortSignal) => ask<ValueSearch>('search', body, work, signal),
  pairs: (body: unknown, work: string, signal: AbortSignal) => ask<BistablePairs>('pairs', body, work, signal),
  check: (body: unknown, work: string, signal: AbortSignal) => ask<GateCheck>('check', body, work, signal),
  yields: (body: unknown, work: string, signal: AbortSignal) => ask<GateYield>('yield', body, work, signal),
  progress: (work: string) => call<LogicWork>('GET', `/logic/progress/${encodeURIComponent(work)}`),
  /** @returns the deck, or null when the service refused it or is away */
  async netlist(body: unknown): Promise<string | null> {
    try {
      const answer = await fetch('/api/logic/netlist', { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(body), signal: AbortSignal.timeout(patience) });
      return answer.ok ? await answer.text() : null;
    } catch {
      return null;
    }
  },
};
