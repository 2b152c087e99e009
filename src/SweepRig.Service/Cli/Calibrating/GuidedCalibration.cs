using SweepRig.Domain;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Commands;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Calibrating;

/// <summary>Leads through a calibration at the running service, from wherever it stands to its end.</summary>
public sealed class GuidedCalibration(CliContext context, RemoteBench bench, IMeterReader meter, bool json)
{
    private bool _endedByRefusal;

    /// <param name="begin">What a new one is begun with; null to go on with the one under way.</param>
    public async Task<int> RunAsync(Func<Task<BeginCalibrationRequest?>> begin, CancellationToken cancellation)
    {
        var status = await bench.CalibrationAsync<CalibrationStatusView>(HttpMethod.Get, "", null, cancellation);
        if (!status.IsAccepted) return context.Tell(status.Refusals, json, ExitCode.Refused);
        if (status.Value.Procedure is null)
        {
            if (meter.IsPerson) foreach (var caution in status.Value.Cautions) Say($"- {caution}");
            if (await begin() is not { } request) return ExitCode.BadInput;
            status = await bench.CalibrationAsync<CalibrationStatusView>(HttpMethod.Post, "", request, cancellation);
            if (!status.IsAccepted) return context.Tell(status.Refusals, json, ExitCode.Refused);
        }
        else
        {
            Say($"Going on with the calibration begun {status.Value.Procedure.BegunUtc} on rig {status.Value.Procedure.RigSerialNumber}: {status.Value.Procedure.Done} of {status.Value.Procedure.Steps} steps are done.");
        }
        var procedure = status.Value!.Procedure!;
        while (true)
        {
            var step = procedure.AllSteps.First(s => s.Id == procedure.Current);
            if (step.Kind == "store") return await KeepAsync(procedure, cancellation);
            var next = step.Kind == "review" ? await ReviewAsync(procedure, cancellation) : await ReadAsync(procedure, step, cancellation);
            if (next is null) return _endedByRefusal ? ExitCode.Refused : Later(procedure);
            procedure = next;
        }
    }

    private async Task<CalibrationProcedureView?> ReadAsync(CalibrationProcedureView procedure, CalibrationStepView step, CancellationToken cancellation)
    {
        Say($"{procedure.Done + 1} of {procedure.Steps}  {step.Id}: {step.Instruction}");
        if (step.Holds)
        {
            var held = await bench.CalibrationAsync<CalibrationStatusView>(HttpMethod.Post, "hold", new CalibrationStepRequest(step.Id), cancellation);
            if (!held.IsAccepted) return await RefusedAsync(held.Refusals, procedure, cancellation);
        }
        var answer = await meter.ReadAsync(step, cancellation);
        return answer.Kind == MeterAnswerKind.Take
            ? await ActAsync("readings", new CalibrationReadingRequest(step.Id, answer.Value), procedure, cancellation)
            : await OtherAsync(answer, procedure, cancellation);
    }

    private async Task<CalibrationProcedureView?> ReviewAsync(CalibrationProcedureView procedure, CancellationToken cancellation)
    {
        if (!json) foreach (var line in CalibrationText.Fits(procedure.Fits, context.Terminal.OutInk)) context.Terminal.Line(line);
        var answer = await meter.ReviewAsync(cancellation);
        return answer.Kind == MeterAnswerKind.Take ? await ActAsync("accept", null, procedure, cancellation) : await OtherAsync(answer, procedure, cancellation);
    }

    private async Task<CalibrationProcedureView?> OtherAsync(MeterAnswer answer, CalibrationProcedureView procedure, CancellationToken cancellation) => answer.Kind switch
    {
        MeterAnswerKind.Redo => await ActAsync("redo", new CalibrationStepRequest(answer.What), procedure, cancellation),
        MeterAnswerKind.LeaveOutPositive => await ActAsync("leave-out-positive", null, procedure, cancellation),
        _ => null,
    };

    private async Task<CalibrationProcedureView?> ActAsync(string what, object? body, CalibrationProcedureView procedure, CancellationToken cancellation)
    {
        var done = await bench.CalibrationAsync<CalibrationStatusView>(HttpMethod.Post, what, body, cancellation);
        return done.IsAccepted ? done.Value.Procedure : await RefusedAsync(done.Refusals, procedure, cancellation);
    }

    /// <summary>A person looks at the refusal and says what next; a file or practice meter would only say the same again.</summary>
    private async Task<CalibrationProcedureView?> RefusedAsync(IReadOnlyList<Refusal> refusals, CalibrationProcedureView procedure, CancellationToken cancellation)
    {
        context.Tell(refusals, json && !meter.IsPerson, ExitCode.Refused);
        var answer = await meter.AfterRefusalAsync(cancellation);
        _endedByRefusal = !meter.IsPerson;
        return answer.Kind == MeterAnswerKind.Take ? procedure : await OtherAsync(answer, procedure, cancellation);
    }

    private async Task<int> KeepAsync(CalibrationProcedureView procedure, CancellationToken cancellation)
    {
        if (!json) foreach (var line in CalibrationText.Checks(procedure.Checks, context.Terminal.OutInk)) context.Terminal.Line(line);
        var kept = await bench.CalibrationAsync<CalibrationView>(HttpMethod.Post, "keep", null, cancellation);
        if (!kept.IsAccepted) return context.Tell(kept.Refusals, json, ExitCode.Refused);
        if (json) CliJson.Write(context.Terminal, new { Calibration = kept.Value, procedure.Fits, procedure.Checks });
        else context.Terminal.Line($"Kept: {CalibrationText.State(kept.Value)}. The rig works on it from now on.");
        return ExitCode.Good;
    }

    private int Later(CalibrationProcedureView procedure)
    {
        Say($"Left at {procedure.Current}; {procedure.Done} of {procedure.Steps} steps are kept. Go on with sweeprig calibrate.");
        if (json) CliJson.Write(context.Terminal, procedure);
        return ExitCode.Good;
    }

    private void Say(string line) => context.Terminal.Error.WriteLine(line);
}
