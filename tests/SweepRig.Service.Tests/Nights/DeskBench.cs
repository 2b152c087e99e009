using System.Text.Json;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Watching;
using SweepRig.Service.Fits;
using SweepRig.Service.Nights;
using SweepRig.Service.Stations;
using SweepRig.Service.Stock;
using SweepRig.Service.Tests.Support;
using SweepRig.Service.Watching;
using SweepRig.Storage;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Queue;
using SweepRig.Sweeps.Running;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Tests.Nights;

/// <summary>A night desk on a clock that the test moves, at a door to no rig whose runs end as the test says.</summary>
internal sealed class DeskBench : IAsyncDisposable
{
    private readonly string _directory = System.IO.Directory.CreateTempSubdirectory("sweeprig-").FullName;
    private readonly Workbench _workbench = new();
    private int _started;

    private DeskBench()
    {
        Runner = new() { Starts = Begin, EndOf = EndAsync };
        Runner.State = Connected;
    }

    public static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public FakeTimeProvider Time { get; } = new(new DateTimeOffset(2026, 11, 26, 20, 0, 0, TimeSpan.Zero));

    /// <summary>What the computer's clock shows beside the time that has passed.</summary>
    public TimeSpan Skew { get; set; }

    public FakeRunner Runner { get; }

    public RunStore Runs { get; private set; } = null!;

    public NightStore Nights { get; private set; } = null!;

    public NightDesk Desk { get; private set; } = null!;

    /// <summary>How a run ends, by its number from 1; null leaves it under way.</summary>
    public Func<int, (RunState State, Trip? Trip)?> Ends { get; set; } = _ => (RunState.Complete, null);

    public BenchState Connected => Runner.State with
    {
        Link = RigLinkState.Connected, Identity = Examples.Rig, Calibration = RigCalibration.Nominal(Examples.Rig), Heater = new(false, TimeSpan.Zero, TimeSpan.FromSeconds(4)), LinkFault = null,
    };

    /// <summary>What was told to whoever is not there.</summary>
    public Told Watch { get; } = new();

    public NightPicture Picture => Desk.Picture!;

    public static async Task<DeskBench> StartAsync()
    {
        var bench = new DeskBench();
        await bench.OpenAsync();
        return bench;
    }

    public static string Document(string jobs, string more = "") => $$"""
        { "format": "night/1", "name": "Skua", "timeZone": "Etc/UTC", "window": { "from": "20:00", "to": "05:00" },
          "sockets": [{ "socket": 0, "tube": "SKUA-014", "type": "6AU6" }, { "socket": 1, "tube": "SKUA-020", "type": "6AU6" }], "jobs": [{{jobs}}]{{more}} }
        """;

    public static string Sweeps(string name, string more = "", string plan = "gentle-pentode") => $$"""{ "name": "{{name}}", "do": "sweep", "plan": "{{plan}}"{{more}} }""";

    public async Task<Outcome<NightPicture>> BeginAsync(string document)
    {
        var order = NightDocument.Parse(document);
        Assert.True(order.IsAccepted, string.Join("\n", order.Refusals));
        return await Desk.BeginAsync(order.Value, JsonElement.Parse(document), Cancel);
    }

    /// <summary>Lets time pass, and the desk look at what has become of it.</summary>
    public async Task PassAsync(TimeSpan time)
    {
        Time.Advance(time);
        var until = Desk.At(Picture) + TimeSpan.FromSeconds(2);
        await UntilAsync("the desk to look", () => Desk.At(Picture) > until);
    }

    /// <summary>Moves the clock in small steps until it holds.</summary>
    public Task UntilAsync(string what, Func<bool> condition) => Eventually.HoldsAsync(what, () =>
    {
        if (condition()) return true;
        Time.Advance(TimeSpan.FromMilliseconds(250));
        return false;
    });

    public Task OverAsync() => UntilAsync("the night to be over", () => Desk.Picture is { IsOver: true });

    /// <summary>The process is killed, and another begins on the same directory.</summary>
    public async Task RestartAsync()
    {
        await Desk.DisposeAsync();
        await Runs.DisposeAsync();
        await OpenAsync();
        Desk.Start();
    }

    public async ValueTask DisposeAsync()
    {
        await Desk.DisposeAsync();
        await Runs.DisposeAsync();
        _workbench.Dispose();
        System.IO.Directory.Delete(_directory, recursive: true);
    }

    private async Task OpenAsync()
    {
        Runs = await RunStore.OpenAsync(_directory, TimeProvider.System, NullLogger<RunStore>.Instance, Cancel);
        var clock = new Clock(this);
        Nights = new(Runs, clock);
        Desk = new(
            new RigChoice("rig-1") { HeaterSpeed = 10 }, TimeSpan.FromSeconds(4), Runner, null, Runs, Nights, new StockStore(Runs, clock), TypeCatalogue.BuiltIn, new FigureShelf(_workbench), _workbench, RuleSettings.Default, clock,
            NullLogger<NightDesk>.Instance, Watch);
    }

    private RunHeader Begin(SweepRequest request) => Examples.Header(FormattableString.Invariant($"{++_started:x32}")) with { Tube = request.Tube, Socket = request.Socket, Plan = request.Plan };

    private async Task<RunState> EndAsync(string run)
    {
        var number = int.Parse(run, System.Globalization.NumberStyles.HexNumber, System.Globalization.CultureInfo.InvariantCulture);
        if (Ends(number) is not { } end) return await new TaskCompletionSource<RunState>().Task;
        var label = Runner.Asked.Last(a => a.StartsWith("start ", StringComparison.Ordinal)).Split(' ')[^2];
        var modelled = new ModelledRun(PlanExamples.GentlePentode) { Id = run, Label = new(label, "6AU6") };
        await using var recording = await Runs.BeginAsync(modelled.Header, Cancel);
        await recording.AppendAsync(modelled.Blocks(), Cancel);
        if (end.Trip is { } trip)
        {
            await recording.TripAsync(trip, Cancel);
            Runner.State = Runner.State with { Trip = trip, TripCauseGone = true };
        }
        await recording.EndAsync(end.State, modelled.StartedUtc.AddSeconds(4), Cancel);
        return end.State;
    }

    private sealed class Clock(DeskBench bench) : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => bench.Time.GetUtcNow() + bench.Skew;

        public override long TimestampFrequency => bench.Time.TimestampFrequency;

        public override long GetTimestamp() => bench.Time.GetTimestamp();

        public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period) => bench.Time.CreateTimer(callback, state, dueTime, period);
    }

    internal sealed class Told : IWatch
    {
        private readonly List<BenchEvent> _events = [];

        public BenchEvent[] Events
        {
            get
            {
                lock (_events) return [.. _events];
            }
        }

        public void Post(BenchEvent happened)
        {
            lock (_events) _events.Add(happened);
        }
    }
}
