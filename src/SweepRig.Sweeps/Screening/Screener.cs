using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Rigs.Calibration;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Screening;

/// <summary>Follows the program through the runner.</summary>
/// <param name="runner">The door to the rig.</param>
/// <param name="blocksOf">Reads a run that has ended from its record.</param>
public sealed class Screener(ISweepRunner runner, Func<string, CancellationToken, Task<IReadOnlyList<SampleBlock>>> blocksOf)
{
    /// <summary>Runs the steps that are left, one after another.</summary>
    /// <param name="procedure">Where it stands.</param>
    /// <param name="begins">Told before each step, for a display; and when the bulb is to be tapped, once the step runs.</param>
    /// <returns>The procedure at its end, early or not; or why a step was refused.</returns>
    public async Task<Outcome<ScreeningProcedure>> RunAsync(ScreeningProcedure procedure, Action<ScreeningProcedure, ScreeningStep> begins, CancellationToken cancellationToken)
    {
        while (procedure.Next is { } step)
        {
            cancellationToken.ThrowIfCancellationRequested();
            begins(procedure, step);
            var setup = procedure.Setup;
            var started = await runner.StartStepAsync(new(setup.ScreeningId, step, setup.Tube, setup.Fixture, setup.Socket), cancellationToken).ConfigureAwait(false);
            if (!started.IsAccepted) return Outcome<ScreeningProcedure>.Refuse(started.Refusals);
            var state = await EndAsync(started.Value.Id, cancellationToken).ConfigureAwait(false);
            var blocks = await blocksOf(started.Value.Id, cancellationToken).ConfigureAwait(false);
            var curve = CurveBuilder.Build(started.Value, blocks);
            procedure = procedure.With(new ScreeningRun(
                started.Value, state, curve.Count > 0 ? curve[0] : null, state == RunState.Tripped && runner.State.Trip is { } trip ? [trip] : []));
        }
        return Outcome<ScreeningProcedure>.Accept(procedure);
    }

    private async Task<RunState> EndAsync(string run, CancellationToken cancellationToken)
    {
        try
        {
            return await runner.WaitAsync(run, cancellationToken).ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
            // Nobody waits for it any more, so it must not go on.
            await runner.StopAsync(CancellationToken.None).ConfigureAwait(false);
            throw;
        }
    }
}
