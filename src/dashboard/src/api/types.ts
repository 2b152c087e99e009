/** Short names for the types generated from the service's own API document. */
import type { components } from './schema';

type Schemas = components['schemas'];

export type Bench = Schemas['BenchView'];
export type Trip = Schemas['TripView'];
export type RigList = Schemas['RigListView'];
export type RigGlance = Schemas['RigGlanceView'];
export type Permit = Schemas['PermitView'];
export type Progress = Schemas['ProgressView'];
export type Pass = Schemas['PassView'];
export type Tube = Schemas['TubeView'];
export type Figure = Schemas['Figure'];
export type Block = Schemas['LiveBlockView'];
export type Blocks = Schemas['LiveBlocksView'];
export type RunStarted = Schemas['RunStartedView'];
export type PassEnded = Schemas['PassEndedView'];
export type RunEnded = Schemas['RunEndedView'];
export type Run = Schemas['RunView'];
export type RunList = Schemas['RunListView'];
export type Curve = Schemas['CurveView'];
export type Curves = Schemas['CurvesView'];
export type CurveLevels = Schemas['CurveLevelsView'];
export type RunLevels = Schemas['RunLevelsView'];
export type Fit = Schemas['FitView'];
export type FittedConstant = Schemas['FittedConstantView'];
export type FittedPass = Schemas['FittedPassView'];
export type Laws = Schemas['LawsView'];
export type Prediction = Schemas['PredictionView'];
export type PredictionCheck = Schemas['PredictionCheckView'];
export type Slopes = Schemas['SlopesView'];
export type NextSweep = Schemas['NextSweepView'];
export type Family = Schemas['FamilyView'];
export type FamilyPrediction = Schemas['FamilyPredictionView'];
export type Contribution = Schemas['Contribution'];
export type Health = Schemas['HealthView'];
export type HealthItem = Schemas['HealthItemView'];
export type Refusal = Schemas['RefusalView'];
export type CheckedPlan = Schemas['CheckedPlanView'];
export type CalibrationState = Schemas['CalibrationView'];
export type CalibrationStatus = Schemas['CalibrationStatusView'];
export type CalibrationProcedure = Schemas['CalibrationProcedureView'];
export type CalibrationItem = Schemas['CalibrationListItem'];
export type CalibrationList = Schemas['CalibrationListView'];
export type CheckedCalibration = Schemas['CheckedCalibrationView'];
export type Lot = Schemas['LotView'];
export type LotList = Schemas['LotListView'];
export type StockTubeItem = Schemas['StockTubeItem'];
export type StockTubes = Schemas['StockTubesView'];
export type TubeWithRuns = Schemas['TubeWithRunsView'];
export type BookTubes = Schemas['BookTubesRequest'];
export type BookedTubes = Schemas['BookedTubesView'];
export type Quantity = Schemas['QuantityView'];
export type QuantityList = Schemas['QuantityListView'];
export type LotSummary = Schemas['LotSummaryView'];
export type QuantitySpread = Schemas['QuantitySpreadView'];
export type LotFigures = Schemas['LotFiguresView'];
export type LotGrades = Schemas['LotGradesView'];
export type Pairing = Schemas['PairingView'];
export type Spares = Schemas['SparesView'];
export type Drift = Schemas['DriftView'];
export type Round = Schemas['RoundView'];
export type RoundStatus = Schemas['RoundStatusView'];
export type RoundAsk = Schemas['RoundAskView'];
export type RoundSocket = Schemas['RoundSocketView'];
export type CalibrationStep = Schemas['CalibrationStepView'];
export type Morning = Schemas['MorningView'];
export type DoneAlarm = Schemas['DoneAlarmView'];
export type Night = Schemas['NightView'];
export type NightExample = Schemas['NightExampleView'];
export type NightHead = Schemas['NightHeadView'];
export type NightPlan = Schemas['NightPlanView'];
export type NightSeat = Schemas['NightSeatView'];
export type NightStatus = Schemas['NightStatusView'];
export type NightStep = Schemas['NightStepView'];
export type NightSteps = Schemas['NightStepsView'];
export type BenchEvent = Schemas['EventView'];
export type EventList = Schemas['EventListView'];
export type InterlockList = Schemas['InterlockListView'];
export type InterlockRule = Schemas['InterlockRuleView'];
export type InterlockLimit = Schemas['InterlockLimitView'];
export interface PlanExample {
  name: string;
  explains: string;
  plan: PlanDocument;
}

/** The plan document as its own schema (GET /api/plans/schema) has it; the API document holds it as any JSON. */
export interface PlanDocument {
  format: string;
  name: string;
  drive: { startVolts: number; stopVolts: number; points: number; direction: 'up' | 'down' | 'upAndDown' };
  dwellMicroseconds: number;
  averaging: { conversions: number } | { mainsPeriods: number; mainsHertz: number };
  settle?: { toleranceVolts: number; timeoutMicroseconds: number };
  repeats?: number;
  secondSource?: { source: 'plateRail' | 'heater'; fromVolts: number; toVolts: number; steps: number };
  adaptive?: { switchingUncertaintyVolts: number; firstPoints?: number; batchPoints?: number };
  connection: {
    kind: 'pentode' | 'triode';
    plateRailVolts: number;
    biasRailVolts: number;
    heaterVolts: number;
    plateResistorOhms: number;
    screenResistorOhms: number;
    gridStopperOhms: number;
  };
}
