using System.Collections.Concurrent;
using System.Threading.Channels;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Rigs;

namespace SweepRig.Sweeps.Tests.Support;

/// <summary>
/// A rig that keeps its promises at once: latch, supplies and programs, without a link. Tests tell it what to lose, to refuse or to break.
/// Each thing done to it goes into a journal that recorder and viewers share, so that order can be asserted.
/// </summary>
internal sealed class FakeRig(TimeProvider time, ConcurrentQueue<string> journal) : IRig
{
    public const int SamplesInFrame = 4;

    private readonly Channel<RigEvent> _events = Channel.CreateUnbounded<RigEvent>();
    private readonly Lock _lock = new();
    private long _heaterOnSince;

    public string Name => "test rig";

    public RigIdentity? Identity { get; set; } = Samples.Rig;

    public ChannelReader<RigEvent> Events => _events.Reader;

    public bool Latched { get; set; } = true;

    public TripCause Cause { get; set; } = TripCause.PowerUp;

    public bool CausesPresent { get; set; }

    public bool Reachable { get; set; } = true;

    public SupplySetting Supplies { get; private set; } = new(false, 0, false, 0, 0);

    public RigProgram? Program { get; private set; }

    public int ProgramsRun { get; private set; }

    public RigLimits? LimitsSet { get; private set; }

    /// <summary>Highest DAC code ever sent.</summary>
    public int HighestCode { get; private set; }

    /// <summary>False: a program waits for <see cref="SendFrame"/> and <see cref="EndProgram"/>.</summary>
    public bool RunsByItself { get; set; } = true;

    /// <summary>Frames that never arrive: program number from 1, frame index.</summary>
    public Func<int, int, bool> Loses { get; set; } = (_, _) => false;

    /// <summary>Called before a command is answered; another reply than null stands in its place.</summary>
    public Func<string, RigReply?> Answers { get; set; } = _ => null;

    /// <summary>Holds a program back: the rig has not got it whole yet.</summary>
    public TaskCompletionSource? RunGate { get; set; }

    /// <summary>Holds the answer to make safe.</summary>
    public TaskCompletionSource? SafeGate { get; set; }

    /// <summary>While set, supplies are switched once it is done.</summary>
    public TaskCompletionSource? SuppliesGate { get; set; }

    /// <summary>Grid pin at a drive; the default holds the grid like a diode.</summary>
    public Func<double, double> GridAt { get; set; } = drive => drive > 0 ? 0.1 * drive : drive;

    /// <summary>What the rail comes to when it is on.</summary>
    public Func<double, double> RailAt { get; set; } = volts => volts;

    public void Start()
    {
        if (Identity is not null) Connect();
    }

    public void Connect() => Send(new RigEvent.Connected(time.GetTimestamp(), Identity!));

    public void PullCable()
    {
        Reachable = false;
        Send(new RigEvent.Disconnected(time.GetTimestamp(), "the port vanished; check the cable", true));
    }

    public void PlugIn()
    {
        Reachable = true;
        Program = null;
        Supplies = Supplies with { PlateRail = false };
        Connect();
    }

    public void Restart()
    {
        (Latched, Cause, Program, Supplies) = (true, TripCause.PowerUp, null, new(false, 0, false, 0, 0));
        Send(new RigEvent.Restarted(time.GetTimestamp(), ResetReason.BrownOut));
    }

    public void Trip(TripCause cause)
    {
        (Latched, Cause) = (true, cause);
        Supplies = Supplies with { PlateRail = false };
        var was = Program;
        Program = null;
        if (was is not null) Send(new RigEvent.PassEnded(time.GetTimestamp(), was.Pass, false, 0));
        Send(new RigEvent.Tripped(time.GetTimestamp(), new(cause, true, "9 mA", "8 mA", time.GetUtcNow(), new RigTime(1))));
    }

    public void Status()
    {
        if (!Reachable) return;
        var now = time.GetTimestamp();
        var heaterOn = Supplies.Heater ? time.GetElapsedTime(_heaterOnSince, now) : TimeSpan.Zero;
        Send(new RigEvent.Status(now, new(
            new(Microseconds(now)), Latched, Latched ? Cause : null, CausesPresent, -14, Supplies.Heater, heaterOn, Supplies.PlateRail,
            Supplies.PlateRail ? RailAt(Supplies.PlateRailVolts) : 0, Program is not null)));
    }

    public void Send(RigEvent happened) => _events.Writer.TryWrite(happened);

    /// <summary>Sends the frame of the running program, if it is not to be lost.</summary>
    public void SendFrame(int index)
    {
        var program = Program!;
        var points = Points(program).Skip(index * SamplesInFrame).Take(SamplesInFrame).ToArray();
        HighestCode = Math.Max(HighestCode, points.Max(p => p.Code));
        if (!Loses(ProgramsRun, index)) Send(new RigEvent.Block(time.GetTimestamp(), Block(program.Pass, index, points)));
    }

    public void EndProgram(bool completed = true)
    {
        var program = Program!;
        Program = null;
        Send(new RigEvent.PassEnded(time.GetTimestamp(), program.Pass, completed, Frames(program)));
    }

    public Task<RigReply> SetLimitsAsync(RigLimits limits, CancellationToken cancellationToken) => Do("limits", () => LimitsSet = limits);

    public async Task<RigReply> SetSuppliesAsync(SupplySetting setting, CancellationToken cancellationToken)
    {
        if (SuppliesGate is { } gate) await gate.Task.WaitAsync(cancellationToken);
        return await Do(
            $"supplies heater {(setting.Heater ? "on" : "off")} rail {(setting.PlateRail ? "on" : "off")}",
            () =>
            {
                if (setting.Heater && !Supplies.Heater) _heaterOnSince = time.GetTimestamp();
                Supplies = setting;
            },
            refusesLatched: setting.PlateRail || setting.Heater && !Supplies.Heater);
    }

    public async Task<RigReply> RunAsync(RigProgram program, CancellationToken cancellationToken)
    {
        if (RunGate is { } gate) await gate.Task.WaitAsync(cancellationToken);
        return await Do(
            $"run {program.Pass}",
            () =>
            {
                Program = program;
                ProgramsRun++;
                if (!RunsByItself) return;
                for (var i = 0; i < Frames(program); i++) SendFrame(i);
                EndProgram();
            },
            refusesLatched: true);
    }

    public async Task<RigReply> MakeSafeAsync(CancellationToken cancellationToken)
    {
        journal.Enqueue("rig safe asked");
        if (SafeGate is { } gate) await gate.Task.WaitAsync(cancellationToken);
        return await Do("safe", () =>
        {
            Supplies = Supplies with { PlateRail = false };
            var was = Program;
            Program = null;
            if (was is not null) Send(new RigEvent.PassEnded(time.GetTimestamp(), was.Pass, false, 0));
            if (Latched) return;
            (Latched, Cause) = (true, TripCause.HostOrder);
            Send(new RigEvent.Tripped(time.GetTimestamp(), new(TripCause.HostOrder, true, "", "", time.GetUtcNow(), null)));
        });
    }

    public Task<RigReply> StopAsync(CancellationToken cancellationToken) => Do("stop", () =>
    {
        if (Program is not null) EndProgram(false);
    });

    public Task<RigReply> ReleaseAsync(CancellationToken cancellationToken) => CausesPresent
        ? Task.FromResult(new RigReply(false, "latched", "a cause is left"))
        : Do("release", () => Latched = false);

    public ValueTask DisposeAsync()
    {
        _events.Writer.TryComplete();
        return ValueTask.CompletedTask;
    }

    public static int Frames(RigProgram program) => (program.Points + SamplesInFrame - 1) / SamplesInFrame;

    private Task<RigReply> Do(string what, Action action, bool refusesLatched = false)
    {
        lock (_lock)
        {
            if (!Reachable) return Task.FromResult(new RigReply(false, "not-connected", "the rig is not connected"));
            if (Answers(what) is { } other) return Task.FromResult(other);
            if (refusesLatched && Latched) return Task.FromResult(new RigReply(false, "latched", $"latched by {Cause}"));
            action();
            journal.Enqueue($"rig {what}");
            return Task.FromResult(RigReply.Done);
        }
    }

    private static IEnumerable<(int Point, ushort Code)> Points(RigProgram program) =>
        program.Segments.SelectMany(s => Enumerable.Range(0, s.Points).Select(i => (s.FirstPoint + i, s.CodeAt(i))));

    private long Microseconds(long timestamp) => (long)(timestamp * 1e6 / time.TimestampFrequency);

    private SampleBlock Block(int pass, int frame, (int Point, ushort Code)[] points)
    {
        var drive = Array.ConvertAll(points, p => Samples.Rig.Drive.ToVolts(p.Code));
        ushort[] Codes(RigChannel channel, Func<double, double> volts) =>
            Array.ConvertAll(drive, d => (ushort)(Samples.Rig.Channels[(int)channel].ToCode(new(volts(d))) << 4));
        var rail = RailAt(Supplies.PlateRailVolts);
        return new()
        {
            Pass = pass,
            FrameIndex = frame,
            PointIndex = Array.ConvertAll(points, p => (ushort)p.Point),
            SampledAtTicks = Array.ConvertAll(points, _ => Microseconds(time.GetTimestamp())),
            DriveCode = Array.ConvertAll(points, p => p.Code),
            Flags = new SampleFlags[points.Length],
            AveragedCount = Array.ConvertAll(points, _ => (ushort)16),
            Spread = new ushort[points.Length],
            Codes =
            [
                Codes(RigChannel.Plate, d => d < -5 ? rail : 6 - 0.01 * d),
                Codes(RigChannel.Grid, d => GridAt(d)),
                Codes(RigChannel.Screen, _ => rail - 0.5),
                Codes(RigChannel.Supply, _ => rail),
                Codes(RigChannel.Drive, d => d),
            ],
        };
    }
}
