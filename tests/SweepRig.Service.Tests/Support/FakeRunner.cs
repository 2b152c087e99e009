using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Running;
using SweepRig.Sweeps.Screening;

namespace SweepRig.Service.Tests.Support;

/// <summary>A door to no rig: answers as it is told and keeps what it was asked.</summary>
public sealed class FakeRunner : ISweepRunner
{
    public BenchState State { get; set; } = new(
        RigLinkState.Connecting, "no rig", null, null, new(0, 0, 0, 0, 0), new(false, TimeSpan.Zero, TimeSpan.FromSeconds(4)),
        false, double.NaN, double.NaN, 0, null, false, null, null);

    public LiveFeed Feed { get; } = new();

    public List<string> Asked { get; } = [];

    /// <summary>When set, every act is refused with it.</summary>
    public Refusal? Refusal { get; set; }

    /// <summary>When set, it takes what it is asked and never answers, as a rig that hangs.</summary>
    public bool NeverAnswers { get; set; }

    public RunHeader? Header { get; set; }

    /// <summary>When set, the header of each sweep that is started, in place of <see cref="Header"/>.</summary>
    public Func<SweepRequest, RunHeader>? Starts { get; set; }

    public PlannedRun? Planned { get; set; }

    public Task<Outcome<PlannedRun>> CheckAsync(SweepRequest request, CancellationToken cancellationToken) => Answer($"check {request.Plan.Name}", () => Planned!);

    public Task<Outcome<RunHeader>> StartAsync(SweepRequest request, CancellationToken cancellationToken) => Answer($"start {request.Plan.Name} {request.Tube.Label} {request.Socket}", () => Starts?.Invoke(request) ?? Header!);

    public Task<Outcome<RunHeader>> StartStepAsync(ScreeningRequest request, CancellationToken cancellationToken) => Answer($"step {request.Step.Kind} {request.Tube.Label}", () => Header!);

    /// <summary>Ends of runs that are waited for, in turn.</summary>
    public Queue<RunState> Ends { get; } = [];

    /// <summary>When set, the end of each run in place of <see cref="Ends"/>.</summary>
    public Func<string, Task<RunState>>? EndOf { get; set; }

    public Task<RunState> WaitAsync(string runId, CancellationToken cancellationToken) => EndOf is { } end ? end(runId).WaitAsync(cancellationToken) : Ends.TryDequeue(out var next) ? Task.FromResult(next) : throw new KeyNotFoundException(runId);

    public Task<Outcome<BenchState>> StopAsync(CancellationToken cancellationToken) => Answer("stop", () => State);

    public Task<Outcome<BenchState>> MakeSafeAsync(string reason, CancellationToken cancellationToken) => Answer($"safe: {reason}", () => State);

    public Task<Outcome<BenchState>> AcknowledgeAsync(CancellationToken cancellationToken) => Answer("acknowledge", () => State = State with { Trip = null });

    public Task<Outcome<Permit>> GrantPermitAsync(Volts ceiling, TimeSpan duration, string reason, CancellationToken cancellationToken) =>
        Answer($"permit {ceiling.Value} {duration.TotalSeconds} {reason}", () => new Permit(Guid.Empty, ceiling, duration, reason, DateTimeOffset.UnixEpoch));

    public Task<Outcome<BenchState>> EndPermitAsync(CancellationToken cancellationToken) => Answer("end permit", () => State);

    public Task<Outcome<BenchState>> SetHeaterAsync(bool on, Volts heater, CancellationToken cancellationToken) => Answer($"heater {on} {heater.Value}", () => State);

    public Task<BenchState> SetAttendanceAsync(bool attended, CancellationToken cancellationToken)
    {
        Asked.Add($"attended {attended}");
        State = State with { Unattended = !attended };
        return Task.FromResult(State);
    }

    public HoldProgress Held { get; set; } = new(new(0), null, TimeSpan.FromSeconds(10));

    public HeldReading? Reading { get; set; }

    public Task<Outcome<HoldProgress>> HoldAsync(HoldRequest request, CancellationToken cancellationToken) => Answer($"hold {request.DriveCode} {request.PlateRailVolts}", () => Held);

    /// <summary>When set, a reading of the held point is not answered before it ends.</summary>
    public Task HoldsBack { get; set; } = Task.CompletedTask;

    public async Task<Outcome<HeldReading>> ReadHoldAsync(CancellationToken cancellationToken)
    {
        await HoldsBack;
        return await Answer("read hold", () => Reading!);
    }

    public Task<BenchState> ApplyCalibrationAsync(CancellationToken cancellationToken)
    {
        lock (Asked) Asked.Add("apply calibration");
        return Task.FromResult(State);
    }

    private Task<Outcome<T>> Answer<T>(string what, Func<T> value)
        where T : class
    {
        lock (Asked) Asked.Add(what);
        if (NeverAnswers) return new TaskCompletionSource<Outcome<T>>().Task;
        return Task.FromResult(Refusal is { } refusal ? Outcome<T>.Refuse(refusal) : Outcome<T>.Accept(value()));
    }
}
