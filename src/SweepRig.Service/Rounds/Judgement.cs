using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Service.Live;
using SweepRig.Sweeps.Rounds;
using SweepRig.Sweeps.Screening;

namespace SweepRig.Service.Rounds;

/// <summary>What the sweep of a round says of its tube.</summary>
/// <param name="Verdict">One line, for the history of the tube.</param>
/// <param name="Doubt">Why it cannot be of its type; null where it can, or where that cannot be told.</param>
public sealed record Judgement(string Verdict, TypeDoubt? Doubt)
{
    /// <param name="run">As recorded.</param>
    /// <exception cref="OperationCanceledException">The asker has gone.</exception>
    public static Judgement Of(RecordedRun run, CancellationToken cancellation)
    {
        if (run.Record.Trips.Count > 0)
        {
            var trip = BenchViews.Word(run.Record.Trips[0].Cause);
            return new($"tripped: {trip}{(run.Record.Trips[0].Measured is { Length: > 0 } measured ? $", {measured}, limit {run.Record.Trips[0].Limit}" : "")}", null);
        }
        if (run.Record.State != RunState.Complete || run.Curves.Count == 0) return new($"sweep {BenchViews.Word(run.Record.State)}", null);
        var curve = run.Curves[0];
        var amps = run.Curves.Max(c => c.PlateCurrent.Where(double.IsFinite).DefaultIfEmpty(0).Max());
        return amps < ScreeningLooks.LeastAmps
            ? new($"does not conduct: {new Amps(amps)} of plate current at most, up to {new Volts(curve.Drive.Where(double.IsFinite).DefaultIfEmpty(0).Max())} drive", null)
            : new($"conducts {new Amps(amps)} of plate current at most", TypeDoubts.Of(run, cancellation));
    }
}
