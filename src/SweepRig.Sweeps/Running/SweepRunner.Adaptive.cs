using Microsoft.Extensions.Logging;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Planning;

namespace SweepRig.Sweeps.Running;

/// <content>An adaptive sweep between two passes: the next drives are chosen elsewhere while this task goes on, and come back as a message.</content>
public sealed partial class SweepRunner
{
    private static readonly TimeSpan ChooseWithin = TimeSpan.FromSeconds(30);

    private void Choose(RunSession run)
    {
        run.Enter(RunStage.Choosing);
        _dirty = true;
        var turn = run.Turn;
        var points = run.Passes[run.PassIndex + 1].Header.Points;
        SampleBlock[] blocks = [.. run.Measured];
        Interlocked.Increment(ref _unanswered);
        _ = ChooseAsync();

        async Task ChooseAsync()
        {
            ChosenDrives? chosen = null;
            var fault = "";
            using var limit = new CancellationTokenSource(ChooseWithin, _time);
            using var either = CancellationTokenSource.CreateLinkedTokenSource(limit.Token, _stopped.Token);
            try
            {
                chosen = await _options.ChooseDrives!(run.Header, blocks, points, either.Token).WaitAsync(either.Token).ConfigureAwait(false);
            }
            catch (OperationCanceledException)
            {
                fault = $"no choice within {ChooseWithin.TotalSeconds:0} s";
            }
            catch (Exception broken)
            {
                fault = broken.Message;
            }
            _mailbox.Post(() => Chosen(run, turn, chosen, fault));
            Interlocked.Decrement(ref _unanswered);
        }
    }

    private void Chosen(RunSession run, int turn, ChosenDrives? chosen, string fault)
    {
        // Stopped or tripped meanwhile: nothing is driven on an old choice.
        if (_run != run || run.Turn != turn) return;
        if (chosen is null)
        {
            _logger.LogError(LogEvents.DrivesNotChosen, "The next drives of run {Run} could not be chosen, so it ends with what was measured: {Fault}", run.Header.Id, fault);
            Finish(run, RunState.Stopped);
            return;
        }
        run.Choice = chosen;
        if (chosen.Drives.Count == 0)
        {
            Finish(run, RunState.Complete);
            return;
        }
        run.Next(ChosenPass.Of(run.Passes[run.PassIndex + 1], chosen.Drives, run.Header.Rig, run.Header.Calibration));
        Energise(run);
    }
}
