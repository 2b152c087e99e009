using SweepRig.Analysis;
using SweepRig.Analysis.Models;
using SweepRig.Analysis.Predictions;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Live;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Fits;

/// <summary>From recorded runs to fits of their tube. Pure.</summary>
public static class TubeFits
{
    public static TubeModelFit Fit(ChosenRuns chosen, CancellationToken cancellation) => Fit(chosen.Runs, cancellation);

    /// <param name="runs">One or more, of one tube; the first names its type.</param>
    /// <exception cref="OperationCanceledException">The asker has gone.</exception>
    public static TubeModelFit Fit(IReadOnlyList<RecordedRun> runs, CancellationToken cancellation) =>
        TubeFitter.Fit([.. runs.Select(Model)], new() { Typical = ExampleTubes.Find(runs[0].Record.Header.Tube.TypeName), Cancellation = cancellation });

    /// <summary>As a fit takes it, with the calibration in force.</summary>
    public static ModelRun Model(RecordedRun run) => ModelRun.Of(Header(run), run.Curves);

    /// <summary>Of a run as it is looked at: with the calibration in force.</summary>
    public static RunHeader Header(RecordedRun run) => run.Record.Header with { Calibration = run.InForce };

    /// <summary>What the calibration in force leaves unknown with the resistors of another connection.</summary>
    public static MeasurementUncertainty Known(RecordedRun run, Connection connection) => MeasurementUncertainty.Of(run.Record.Header.Rig, run.InForce, connection);

    /// <summary>Where the fitted tube switches within the drives of a run, and up to 0 V in any case; absent with the reason.</summary>
    /// <param name="fit">Not a refused one.</param>
    public static Figure SwitchingPoint(RecordedRun run, TubeModelFit fit)
    {
        var plan = run.Record.Header.Plan;
        var connection = run.InForce.Measured(plan.Connection);
        return SwitchingPrediction.Of(fit, connection, Known(run, connection), plan.Start.Value, Math.Max(plan.Stop.Value, 0))?.Drive
            ?? Figure.None("V", "the model finds no state of the circuit there");
    }

    /// <summary>A plan that makes a proposed sweep, each point taken as in a run before.</summary>
    /// <param name="like">The plan of that run.</param>
    /// <param name="name">1 to 80 characters.</param>
    public static SweepPlan Plan(SweepPlan like, PlannedSweep sweep, string name) => like with
    {
        Name = name,
        // To hundredths: drives as read are those of the plan but for the codes of the converter.
        Start = new(Math.Max(-PlanLimits.MaxDriveVolts, Math.Round(sweep.FromDrive, 2))),
        Stop = new(Math.Min(PlanLimits.MaxDriveVolts, Math.Round(sweep.ToDrive, 2))),
        Points = sweep.Points,
        Direction = SweepDirection.Up,
        Repeats = 1,
        SecondSource = null,
        Connection = sweep.Connection with
        {
            PlateResistor = Whole(sweep.Connection.PlateResistor),
            ScreenResistor = Whole(sweep.Connection.ScreenResistor),
            GridStopper = Whole(sweep.Connection.GridStopper),
            Heater = new(Math.Round(sweep.Connection.Heater.Value, 2)),
        },
    };

    // As marked, where the measured value of the first run's resistor was taken over.
    private static Domain.Quantities.Ohms Whole(Domain.Quantities.Ohms ohms) => new(Math.Round(ohms.Value, 1));
}
