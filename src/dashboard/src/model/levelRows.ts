import type { CurveLevels, Figure, RunLevels } from '../api/types';

export type LevelName = Exclude<keyof CurveLevels, 'pass'>;

export interface LevelRow {
  name: LevelName;
  title: string;
}

/** The levels in the order of the curve, from the negative end to the positive. */
export function levelRows(levels: RunLevels): LevelRow[] {
  return [
    { name: 'highestOutput', title: 'VOH, highest output' },
    { name: 'cutOffDrive', title: `Cut-off, drive at ${microamperes(levels.cutOffPlateAmps)} of plate current` },
    { name: 'unityGainLow', title: 'VIL, unity gain, lower drive' },
    { name: 'switchingDrive', title: 'Switching point, drive' },
    { name: 'switchingOutput', title: 'Switching point, output' },
    { name: 'switchingGain', title: 'Gain there' },
    { name: 'unityGainHigh', title: 'VIH, unity gain, upper drive' },
    { name: 'gridCurrentOnset', title: `Grid current onset, drive at ${microamperes(levels.gridOnsetAmps)}` },
    { name: 'lowestOutput', title: 'VOL, lowest output' },
    { name: 'foldBackDepth', title: 'Fold-back, depth' },
    { name: 'driveAtMinimum', title: 'Drive at the lowest output' },
  ];
}

/** The rest of the levels, on request. */
export function furtherRows(levels: RunLevels): LevelRow[] {
  return [
    { name: 'outputAtUnityLow', title: 'Output at VIL' },
    { name: 'outputAtUnityHigh', title: 'Output at VIH' },
    { name: 'transitionWidth', title: 'Transition width' },
    { name: 'marginLow', title: 'Margin low, coupled directly' },
    { name: 'marginHigh', title: 'Margin high, coupled directly' },
    { name: 'cutOffDriveOfFull', title: `Cut-off, drive at ${Number((100 * levels.cutOffFraction).toPrecision(3))} % of full plate current` },
    { name: 'gridCurrentOnsetUpper', title: `Grid current onset, drive at ${microamperes(levels.gridOnsetUpperAmps)}` },
    { name: 'cathodeTemperature', title: 'Cathode temperature, by small grid currents' },
    { name: 'inputCurrentAtHigh', title: 'Input current at VOH' },
    { name: 'foldBackSlope', title: 'Fold-back, slope' },
    { name: 'saturatedResistance', title: 'Saturated plate resistance' },
  ];
}

/** Places of the levels on the output curve. What has no place of its own drive lies on the curve, by `outputAt`. */
export function levelMarks(
  levels: CurveLevels,
  outputAt: (drive: number) => number | null,
): { x: number; y: number; label: string; name: LevelName }[] {
  const at = (name: LevelName, label: string, output: Figure | null): { x: number; y: number; label: string; name: LevelName }[] => {
    const x = levels[name].value;
    if (x === null) return [];
    const y = output?.value ?? outputAt(x);
    return y === null ? [] : [{ x, y, label, name }];
  };
  return [
    ...at('switchingDrive', 'switching', levels.switchingOutput),
    ...at('driveAtMinimum', 'lowest output', levels.lowestOutput),
    ...at('cutOffDrive', 'cut-off', null),
    ...at('unityGainLow', 'unity gain', null),
    ...at('unityGainHigh', 'unity gain', null),
    ...at('gridCurrentOnset', 'grid current', null),
  ];
}

function microamperes(amperes: number): string {
  return `${Number((amperes * 1e6).toPrecision(3))} µA`;
}
