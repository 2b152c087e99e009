import { call, took, type Outcome } from './call';
import type { BistablePairs, BuildVerdict, GateCheck, GateFill, GateList, GateParts, GateSpares, GateTiming, GateYield, LogicTubes, LogicWork, MarginMap, Stage, TestVoltages, TubeChoice, ValueSearch } from './types';

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
  choose: (body: unknown, work: string, signal: AbortSignal) => ask<TubeChoice>('choose', body, work, signal),
  spares: (body: unknown, work: string, signal: AbortSignal) => ask<GateSpares>('spares', body, work, signal),
  fill: (body: unknown, work: string, signal: AbortSignal) => ask<GateFill>('fill', body, work, signal),
  timing: (body: unknown, work: string, signal: AbortSignal) => ask<GateTiming>('timing', body, work, signal),
  map: (body: unknown, work: string, signal: AbortSignal) => ask<MarginMap>('map', body, work, signal),
  buildCheck: (body: unknown, work: string, signal: AbortSignal) => ask<BuildVerdict>('build-check', body, work, signal),
  testVoltages: (body: unknown, signal: AbortSignal) => call<TestVoltages>('POST', '/logic/test-voltages', { body, signal, within: patience }),
  progress: (work: string) => call<LogicWork>('GET', `/logic/progress/${encodeURIComponent(work)}`),
  parts: (body: unknown, signal: AbortSignal) => call<GateParts>('POST', '/logic/parts', { body, signal, within: patience }),
  /** SVG in the colour of the text around it. */
  schematic: (body: unknown, signal: AbortSignal) => took('/logic/schematic', { body, signal, within: patience }, (answer) => answer.text()),
  netlist: (body: unknown): Promise<Outcome<Blob>> => took('/logic/netlist', { body, within: patience }, (answer) => answer.blob()),
  reportPdf: (body: unknown): Promise<Outcome<Blob>> => took('/logic/report.pdf', { body, within: patience }, (answer) => answer.blob()),
};
