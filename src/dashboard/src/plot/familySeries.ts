import type { Family, FamilyPrediction } from '../api/types';
import { ohmsText, trimmed } from '../model/figures';
import { bandFactor, join, measuredParts, type Part, type Plotted } from './fitSeries';
import type { Band, PlotMark } from './series';

/** Plate current in milliamperes over plate voltage, one line a drive, and a load line where one is asked for. `drive` of the answer is the plate voltage. */
export function familyLines(family: Family, prediction: FamilyPrediction | null): Plotted & { marks: PlotMark[]; range: [number, number]; greatest: number } {
  const parts: Part[] = family.lines.map((line) => ({
    drive: line.plateVolts, values: line.plateAmps.map((a) => a * 1e3), token: line.driveVolts > 0 ? 'curve-down' : 'curve-up', shape: 'bar', dashed: line.driveVolts > 0, faint: false,
    label: `${trimmed(line.driveVolts)} V`, end: 'right', plain: true,
  }));
  let [volts, greatest] = [0, 0];
  for (const part of parts) {
    volts = Math.max(volts, part.drive.at(-1) ?? 0);
    for (const v of part.values) greatest = Math.max(greatest, v ?? 0);
  }
  const marks: PlotMark[] = family.lines.flatMap((line) => line.readVolts.map((x, i): PlotMark => ({ x, y: line.readAmps[i]! * 1e3, label: '', shape: 'plus', small: true })));
  if (prediction !== null) {
    const { plateResistorOhms: ohms, plateRailVolts: rail } = prediction;
    volts = Math.max(volts, rail);
    // No farther up than the lines go: a small resistor would press them flat.
    const top = Math.min((rail / ohms) * 1e3, greatest * 1.08);
    parts.push({
      drive: [rail - (top / 1e3) * ohms, rail], values: [top, 0], token: 'curve-plate', shape: 'bar', dashed: false, faint: false,
      label: `${ohmsText(ohms)} at ${trimmed(rail)} V`, end: 'left', plain: true,
    });
    marks.push(...prediction.operatingPoints.map((at): PlotMark => ({ x: at.plateVolts, y: at.plateAmps * 1e3, label: '', shape: 'circle' })));
  }
  return { ...join(parts), marks, range: [0, Math.max(1, volts)], greatest };
}

/** The output that the load line gives, tinted to its uncertainty, and a measured one over it where there is one. */
export function lineOutput(prediction: FamilyPrediction): Plotted & { bands: Band[] } {
  const edge = (side: number): Part => ({
    drive: prediction.drive, token: 'curve-plate', shape: 'bar', dashed: false, faint: true, label: '', end: 'right', edge: true,
    values: prediction.plate.map((v, i) => (v === null || prediction.uncertainty[i] == null ? null : v + side * bandFactor * prediction.uncertainty[i])),
  });
  return {
    ...join([
      edge(1), edge(-1),
      { drive: prediction.drive, values: prediction.plate, token: 'curve-plate', shape: 'circle', dashed: false, faint: false, label: 'predicted', end: 'right' },
      ...measuredParts(prediction.check ?? null, (pass) => pass.measured),
    ]),
    bands: [[0, 1]],
  };
}
