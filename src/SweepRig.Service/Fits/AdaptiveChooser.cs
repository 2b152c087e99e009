using SweepRig.Analysis.Designs;
using SweepRig.Analysis.Models;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;
using SweepRig.Sweeps.Running;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Fits;

/// <summary>Chooses where an adaptive sweep goes on, on the workbench, so that the owner of the bench waits for no fit.</summary>
public sealed class AdaptiveChooser(Workbench workbench)
{
    public Task<ChosenDrives> NextAsync(RunHeader run, IReadOnlyList<SampleBlock> blocks, int count, CancellationToken cancellationToken) =>
        workbench.RunAsync(() => Next(run, blocks, count, cancellationToken), cancellationToken);

    /// <param name="run">Of an adaptive plan.</param>
    /// <param name="blocks">All measured so far.</param>
    /// <param name="count">Drives wanted.</param>
    public static ChosenDrives Next(RunHeader run, IReadOnlyList<SampleBlock> blocks, int count, CancellationToken cancellation)
    {
        var plan = run.Plan;
        var rule = plan.Adaptive ?? throw new ArgumentException("SweepRig bug: the run is no adaptive sweep.", nameof(run));
        var curves = CurveBuilder.Build(run, blocks);
        var fit = TubeFitter.Fit([ModelRun.Of(run, curves)], new() { Typical = ExampleTubes.Find(run.Tube.TypeName), Cancellation = cancellation });
        double[] measured = [.. curves.SelectMany(c => c.Drive).Where(double.IsFinite)];
        var step = AdaptiveSweep.Next(
            fit, measured, run.Calibration.Measured(plan.Connection), MeasurementUncertainty.Of(run), plan.Start.Value, plan.Stop.Value, count, rule.SwitchingUncertainty.Value);
        return new(step.Drives, step.Switching.Value, step.Switching.Uncertainty);
    }
}
