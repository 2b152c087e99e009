import type { GateTiming, GateWave } from '../api/types';
import { sized } from '../model/figures';
import type { PlotSeries } from './series';

export interface WavePlot {
  drive: number[];
  series: PlotSeries[];
  xRange: [number, number];
  yRange: [number, number];
  xTitle: string;
  pinned: { drive: number; label: string }[];
}

const tokens = ['ink', 'curve-plate', 'curve-down', 'curve-screen', 'curve-grid'];
const units: [number, string][] = [[1, 's'], [1e-3, 'ms'], [1e-6, 'µs'], [1e-9, 'ns']];

/** Signals over time, the input first, with the half of the swing and, of a path, where both pass it. */
export function wavePlot(wave: GateWave, timing: GateTiming): WavePlot {
  const span = wave.seconds.at(-1)! - wave.seconds[0]!;
  const [scale, unit] = units.find(([s]) => span >= s) ?? units.at(-1)!;
  const drive = wave.seconds.map((s) => s / scale);
  const line = { shape: 'circle' as const, faint: false, end: 'right' as const, plain: true };
  const half = 0.5 * (timing.lowVolts + timing.highVolts);
  const all = wave.signals.flatMap((s) => s.volts);
  const [low, high] = [Math.min(0, ...all), Math.max(...all)];
  return {
    drive,
    series: [
      ...wave.signals.map((s, i): PlotSeries => ({ ...line, values: s.volts, token: tokens[i % tokens.length]!, label: s.name, dashed: i === 0 })),
      { ...line, values: drive.map(() => half), token: 'ink-soft', label: 'half', dashed: true, faint: true },
    ],
    xRange: [drive[0]!, drive.at(-1)!],
    yRange: [low - 0.04 * (high - low), high + 0.08 * (high - low)],
    xTitle: `Time, ${unit}`,
    pinned: wave.path === null ? [] : [{ drive: 0, label: '0' }, { drive: wave.path.seconds / scale, label: sized(wave.path.seconds, 's') }],
  };
}

export const edgeText = (name: string, rises: boolean): string => `${name} ${rises ? 'up' : 'down'}`;
