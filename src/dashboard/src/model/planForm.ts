import type { PlanDocument } from '../api/types';

/**
 * The plan form holds what was typed, as text: a slip reaches the service as it stands and comes back as a refusal beside its field, in the
 * same words that the command line uses.
 */
export interface PlanForm {
  name: string;
  start: string;
  stop: string;
  points: string;
  direction: PlanDocument['drive']['direction'];
  dwell: string;
  averageBy: 'conversions' | 'mains';
  conversions: string;
  mainsPeriods: string;
  mainsHertz: '50' | '60';
  settles: boolean;
  settleTolerance: string;
  settleTimeout: string;
  repeats: string;
  adapts: boolean;
  adaptUncertainty: string;
  adaptFirst: string;
  adaptBatch: string;
  steps: boolean;
  stepSource: 'plateRail' | 'heater';
  stepFrom: string;
  stepTo: string;
  stepCount: string;
  kind: 'pentode' | 'triode';
  plateRail: string;
  biasRail: string;
  heater: string;
  plateResistor: string;
  screenResistor: string;
  gridStopper: string;
}

export interface TubeForm {
  label: string;
  type: string;
  lot: string;
  socket: string;
}

export function formOf(plan: PlanDocument): PlanForm {
  const { drive, averaging, settle, secondSource, connection } = plan;
  const byMains = 'mainsPeriods' in averaging;
  return {
    name: plan.name,
    start: text(drive.startVolts),
    stop: text(drive.stopVolts),
    points: text(drive.points),
    direction: drive.direction,
    dwell: text(plan.dwellMicroseconds),
    averageBy: byMains ? 'mains' : 'conversions',
    conversions: byMains ? '16' : text(averaging.conversions),
    mainsPeriods: byMains ? text(averaging.mainsPeriods) : '1',
    mainsHertz: byMains && averaging.mainsHertz === 60 ? '60' : '50',
    settles: settle !== undefined && settle !== null,
    settleTolerance: text(settle?.toleranceVolts ?? 0.02),
    settleTimeout: text(settle?.timeoutMicroseconds ?? 20_000),
    repeats: text(plan.repeats ?? 1),
    adapts: plan.adaptive !== undefined && plan.adaptive !== null,
    adaptUncertainty: text(plan.adaptive?.switchingUncertaintyVolts ?? 0.001),
    adaptFirst: text(plan.adaptive?.firstPoints ?? 12),
    adaptBatch: text(plan.adaptive?.batchPoints ?? 4),
    steps: secondSource !== undefined && secondSource !== null,
    stepSource: secondSource?.source ?? 'plateRail',
    stepFrom: text(secondSource?.fromVolts ?? 20),
    stepTo: text(secondSource?.toVolts ?? 28),
    stepCount: text(secondSource?.steps ?? 5),
    kind: connection.kind,
    plateRail: text(connection.plateRailVolts),
    biasRail: text(connection.biasRailVolts),
    heater: text(connection.heaterVolts),
    plateResistor: text(connection.plateResistorOhms),
    screenResistor: text(connection.screenResistorOhms),
    gridStopper: text(connection.gridStopperOhms),
  };
}

/** The document to send. A field that is no number goes as the text it is, for the service to refuse by its path. */
export function documentOf(form: PlanForm): unknown {
  return {
    format: 'sweep-plan/1',
    name: form.name,
    drive: { startVolts: number(form.start), stopVolts: number(form.stop), points: number(form.points), direction: form.direction },
    dwellMicroseconds: number(form.dwell),
    averaging:
      form.averageBy === 'mains'
        ? { mainsPeriods: number(form.mainsPeriods), mainsHertz: Number(form.mainsHertz) }
        : { conversions: number(form.conversions) },
    ...(form.settles ? { settle: { toleranceVolts: number(form.settleTolerance), timeoutMicroseconds: number(form.settleTimeout) } } : {}),
    repeats: number(form.repeats),
    ...(form.steps
      ? { secondSource: { source: form.stepSource, fromVolts: number(form.stepFrom), toVolts: number(form.stepTo), steps: number(form.stepCount) } }
      : {}),
    ...(form.adapts ? { adaptive: { switchingUncertaintyVolts: number(form.adaptUncertainty), firstPoints: number(form.adaptFirst), batchPoints: number(form.adaptBatch) } } : {}),
    connection: {
      kind: form.kind,
      plateRailVolts: number(form.plateRail),
      biasRailVolts: number(form.biasRail),
      heaterVolts: number(form.heater),
      plateResistorOhms: ohms(form.plateResistor),
      screenResistorOhms: ohms(form.screenResistor),
      gridStopperOhms: ohms(form.gridStopper),
    },
  };
}

export function tubeOf(form: TubeForm): { label: string; type: string; lot?: string } {
  const lot = form.lot.trim();
  return { label: form.label.trim(), type: form.type.trim(), ...(lot === '' ? {} : { lot }) };
}

/** A socket number, or what was typed. */
export function socketOf(form: TubeForm): number | string {
  return number(form.socket);
}

/** Reads `-14`, `\u221214`, `2,5`; otherwise gives the text back. */
export function number(typed: string): number | string {
  const plain = typed.trim().replace('\u2212', '-').replace(',', '.');
  const value = Number(plain);
  return plain === '' || !Number.isFinite(value) ? typed : value;
}

const resistor = /^(\d+(?:[.,]\d+)?)\s*([kM])?\s*(\d+)?\s*(?:Ω|ohms?)?$/;

/** Reads `4700`, `4.7k`, `4k7`, `1 M`; otherwise gives the text back. */
export function ohms(typed: string): number | string {
  const match = resistor.exec(typed.trim());
  if (match === null) return number(typed);
  const [, whole, letter, after] = match as unknown as [string, string, string | undefined, string | undefined];
  if (after !== undefined && (letter === undefined || /[.,]/.test(whole))) return typed;
  const mantissa = after === undefined ? whole.replace(',', '.') : `${whole}.${after}`;
  const power = letter === undefined ? 0 : letter === 'k' ? 3 : 6;
  return Number(`${mantissa}e${power}`);
}

function text(value: number): string {
  return String(value);
}
