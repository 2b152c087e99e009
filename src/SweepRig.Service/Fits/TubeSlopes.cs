using SweepRig.Analysis.Levels;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Plans;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Fits;

/// <summary>Transconductance, plate resistance and amplification factor from several runs together. Pure.</summary>
public static class TubeSlopes
{
    /// <param name="runs">One or more; of different tubes there is none.</param>
    public static SmallSignalLevels[] Of(IReadOnlyList<RecordedRun> runs)
    {
        var options = new LevelOptions();
        if (runs.Select(r => r.Record.Header.Tube.Label).Distinct().Count() > 1) return [];
        // One cathode temperature: a heater that was stepped makes another tube of each pass.
        var curves = runs.Where(r => r.Record.Header.Plan.SecondSource?.Source != SteppedSource.Heater).SelectMany(r => r.Curves.DistinctBy(c => c.Pass.SecondSourceVolts)
            .Select(c => new TubeCurve(c, r.Record.Header.Plan.Connection, MeasurementUncertainty.Of(r.Header)))).ToArray();
        return [.. options.GridPoints.Select(grid => SmallSignalFinder.At(curves, grid, options))];
    }

    public static SlopesView View(ChosenRuns runs) => new(runs.Ids, BenchViews.Of(runs.First.InForce), [.. Of(runs.Runs).Select(at => at with
    {
        PlateVolts = at.PlateVolts with { Budget = null },
        Transconductance = at.Transconductance with { Budget = null },
        PlateResistance = at.PlateResistance with { Budget = null },
        Mu = at.Mu with { Budget = null },
    })]);
}
