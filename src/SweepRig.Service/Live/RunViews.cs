using SweepRig.Analysis;
using SweepRig.Analysis.Levels;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;
using SweepRig.Service.Api;
using SweepRig.Service.Contract;
using static SweepRig.Service.Live.BenchViews;

namespace SweepRig.Service.Live;

/// <summary>Turns runs, curves, blocks and levels into what a viewer sees. Pure.</summary>
public static class RunViews
{
    public static RunStartedView Started(RunHeader header) => new(
        header.Id, Utc(header.StartedUtc), BenchViews.Of(header.Tube), header.Plan.Name, Word(header.Plan.Connection.Kind),
        header.Plan.Start.Value, header.Plan.Stop.Value, header.Plan.Connection.PlateRail.Value, Passes(header.Passes));

    public static RunView Of(RunRecord record)
    {
        var header = record.Header;
        return new(
            header.Id, Utc(header.StartedUtc), record.EndedUtc is { } ended ? Utc(ended) : null, Word(record.State), BenchViews.Of(header.Tube),
            header.Socket, header.Plan.Name, Word(header.Plan.Connection.Kind), header.Plan.Start.Value, header.Plan.Stop.Value,
            header.Plan.Connection.PlateRail.Value, Passes(header.Passes), record.Samples, !header.Calibration.IsNominal, BenchViews.Of(header.Calibration),
            header.SoftwareVersion, header.Rig.SerialNumber,
            // Of a recorded run: what was permitted, not how long it still lasts.
            header.Permit is { } permit ? BenchViews.Of(permit, permit.EndsUtc) : null, [.. record.Trips.Select(t => BenchViews.Of(t, causeGone: false))],
            [.. record.Gaps.Select(g => new GapView(g.Pass, g.FirstPoint, g.Points, g.Reason))],
            PlanReading.Write(header.Plan))
        {
            Screening = header.Screening is { } tag ? new(tag.ScreeningId, Word(tag.Kind)) : null,
        };
    }

    public static PassView[] Passes(IReadOnlyList<PassHeader> passes) => [.. passes.Select(BenchViews.Of)];

    public static CurveView Of(Curve curve) => new(
        BenchViews.Of(curve.Pass), Nullable(curve.Drive), Nullable(curve.Plate), Nullable(curve.Grid), Nullable(curve.Screen), Nullable(curve.Supply),
        Nullable(curve.GridCurrent), Nullable(curve.ScreenCurrent), Nullable(curve.PlateCurrent), Nullable(curve.PlateUncertainty))
    {
        DriveUncertainty = Nullable(curve.DriveUncertainty),
        GridUncertainty = Nullable(curve.GridUncertainty),
        ScreenUncertainty = Nullable(curve.ScreenUncertainty),
        SupplyUncertainty = Nullable(curve.SupplyUncertainty),
        GridCurrentUncertainty = Nullable(curve.GridCurrentUncertainty),
        ScreenCurrentUncertainty = Nullable(curve.ScreenCurrentUncertainty),
        PlateCurrentUncertainty = Nullable(curve.PlateCurrentUncertainty),
    };

    /// <param name="budgets">With what each uncertainty is made of.</param>
    public static RunLevelsView Of(RunLevels levels, Domain.Rigs.RigCalibration calibration, bool budgets = false)
    {
        Figure Shown(Figure figure) => budgets ? figure : figure with { Budget = null };
        return new(
            levels.RunId, BenchViews.Of(calibration), levels.Options.CutOffPlateAmps, levels.Options.GridOnsetAmps, [.. levels.Curves.Select(curve => Of(curve, Shown))],
            Shown(levels.UpDownDifference), levels.Options.CutOffFraction, levels.Options.GridOnsetUpperAmps, levels.Repeatability,
            [.. levels.SmallSignal.Select(at => new SmallSignalLevels(at.GridVolts, Shown(at.PlateVolts), Shown(at.Transconductance), Shown(at.PlateResistance), Shown(at.Mu)))]);
    }

    /// <summary>One block of a run, as it is sent or fetched.</summary>
    public static LiveBlockView Block(string runId, long sequence, SampleBlock block, BlockVolts volts, double? newestSampleUnixMs, long skipped) => new(
        runId, sequence, 1, block.Pass, Array.ConvertAll(block.PointIndex, p => (int)p), volts.Drive, volts.Plate, volts.Grid, volts.Screen,
        volts.Supply, volts.GridCurrent, volts.ScreenCurrent, volts.PlateCurrent, newestSampleUnixMs, skipped);

    private static CurveLevelsView Of(CurveLevels levels, Func<Figure, Figure> shown) => new(
        BenchViews.Of(levels.Pass), shown(levels.HighestOutput), shown(levels.LowestOutput), shown(levels.SwitchingDrive), shown(levels.SwitchingOutput),
        shown(levels.SwitchingGain), shown(levels.UnityGainLow), shown(levels.UnityGainHigh), shown(levels.CutOffDrive), shown(levels.GridCurrentOnset),
        shown(levels.FoldBackDepth), shown(levels.DriveAtMinimum))
    {
        OutputAtUnityLow = shown(levels.OutputAtUnityLow),
        OutputAtUnityHigh = shown(levels.OutputAtUnityHigh),
        TransitionWidth = shown(levels.TransitionWidth),
        CutOffDriveOfFull = shown(levels.CutOffDriveOfFull),
        GridCurrentOnsetUpper = shown(levels.GridCurrentOnsetUpper),
        CathodeTemperature = shown(levels.CathodeTemperature),
        InputCurrentAtHigh = shown(levels.InputCurrentAtHigh),
        FoldBackSlope = shown(levels.FoldBackSlope),
        SaturatedResistance = shown(levels.SaturatedResistance),
        MarginLow = shown(levels.MarginLow),
        MarginHigh = shown(levels.MarginHigh),
    };

    private static double?[] Nullable(double[] column) => Array.ConvertAll(column, v => Finite(v));
}
