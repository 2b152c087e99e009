using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Simulated;
using SweepRig.Service.Fits;
using SweepRig.Service.Hosting;
using SweepRig.Service.Mornings;
using SweepRig.Service.Reports;
using SweepRig.Service.Stations;
using SweepRig.Storage;
using SweepRig.Sweeps.Running;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Wire.Campaign;

namespace SweepRig.Nights;

/// <summary>The service of the trial, put together as it is in life but for its clock, its lines and the witnesses; without a page.</summary>
internal sealed class TrialBench : IAsyncDisposable
{
    /// <summary>Of the tubes in the sockets of all rigs: the rest ages but works.</summary>
    private const int Defective = 2;

    /// <summary>Entries of a rig's record between two looks at it, with room: one that was not seen is told as a violation. More would fill over the hours in which memory is weighed.</summary>
    private const int Judged = 8_192;

    /// <summary>By which a rig notices late that its lease is over.</summary>
    private static readonly TimeSpan Margin = TimeSpan.FromMilliseconds(50);

    private readonly IHost _host;
    private readonly Dictionary<string, Rig> _rigs;

    /// <summary>From when the service has started until it is to end: at both ends it waits on threads of the pool.</summary>
    private readonly IDisposable _narrow = Quiet.OneThread();

    private TrialBench(IHost host, Dictionary<string, Rig> rigs) => (_host, _rigs) = (host, rigs);

    /// <summary>One rig with those who look on.</summary>
    /// <param name="SwitchedOnAt">Microseconds of the trial at which its own clock was zero.</param>
    public sealed record Rig(Station Station, SimulatedRig Simulated, WatchedPort Port, RigWatcher Watcher, long SwitchedOnAt)
    {
        public long Judged { get; set; }

        /// <summary>Samples of the run before the newest, and of the newest: a record is closed a moment after its last sample.</summary>
        public (IReadOnlyList<JournalSample> Before, IReadOnlyList<JournalSample> Newest) Samples { get; set; } = ([], []);
    }

    public IReadOnlyCollection<Rig> Rigs => _rigs.Values;

    public RunStore Store => _host.Services.GetRequiredService<RunStore>();

    public NightStore Nights => _host.Services.GetRequiredService<NightStore>();

    public Workbench Workbench => _host.Services.GetRequiredService<Workbench>();

    public static async Task<TrialBench> StartAsync(TrialPlan plan, string directory, VirtualClock clock, Func<long> now, Func<IRunRecorder, WitnessedRecorder> witness)
    {
        var lot = TubeLot.Draw(new("Skua", ExampleTubes.Sound6AU6, plan.Rigs * plan.Sockets, Defective), plan.Seed);
        var options = new BenchOptions
        {
            DataDirectory = directory,
            Rigs = [.. Enumerable.Range(0, plan.Rigs).Select(i => new RigChoice(StationName.Usual(i))
            {
                Seed = plan.Seed * 31 + i, HeaterSpeed = 10,
                Simulation = new()
                {
                    KeepSamples = true, JournalEntries = Judged, Tubes = [.. lot.Tubes.Skip(i * plan.Sockets).Take(plan.Sockets).Select(t => t.Specimen.Parameters)],
                    Behaviours = [.. lot.Tubes.Skip(i * plan.Sockets).Take(plan.Sockets).Select(t => t.Specimen.Behaviour)],
                },
            })],
        };
        var ports = new WatchedPorts(plan.Seed, clock, now);
        var builder = Host.CreateEmptyApplicationBuilder(new() { DisableDefaults = true });
        builder.Logging.ClearProviders();
        builder.Services.AddBench(options);
        builder.Services.AddSingleton<TimeProvider>(clock);
        builder.Services.AddSingleton<IPortObserver>(ports);
        builder.Services.AddSingleton<IRunRecorder>(provider => witness(provider.GetRequiredService<RunStore>()));
        var host = builder.Build();
        var switchedOn = now();
        var stations = host.Services.GetRequiredService<StationList>();
        var rigs = stations.ToDictionary(s => s.Name, s => new Rig(s, s.Simulated!, ports.Of(s.Name), Watcher(s.Name, s.Simulated!.Options, ports.Of(s.Name)), switchedOn));
        await host.StartAsync().ConfigureAwait(false);
        return new(host, rigs);
    }

    /// <summary>The rig of a run.</summary>
    public Rig Of(RunHeader header) => _rigs.Values.First(r => r.Simulated.Options.SerialNumber == header.Rig.SerialNumber);

    /// <summary>Somebody asks for the morning report, as the page and for the printer.</summary>
    public async Task AskReportAsync(TimeProvider clock)
    {
        var desk = _host.Services.GetRequiredService<MorningDesk>();
        var now = clock.GetUtcNow();
        var report = MorningReport.Of(await desk.ReadAsync(new(now - MorningSpan.Usual, now), default).ConfigureAwait(false), desk.Zone);
        _ = HtmlReport.Write(report);
        _ = PdfReport.Write(report, Paper.A4);
    }

    /// <summary>Ends as a service does that is told to: rigs safe first, then the rest. The rigs stay on for another lease, for who was not heard.</summary>
    /// <returns>Rigs that were connected to the last and drive on all the same.</returns>
    public async Task<IReadOnlyList<string>> StopAsync(TimeProvider clock)
    {
        _narrow.Dispose();
        var before = _rigs.Values.ToDictionary(r => r.Station.Name, r => r.Station.Runner.State);
        await _host.StopAsync().ConfigureAwait(false);
        var told = _rigs.Values.Where(r => r.Station.Runner.State.Link == RigLinkState.Connected && !r.Simulated.Journal.IsSafe)
            .Select(r => FormattableString.Invariant($"{r.Station.Name}, at {clock.GetUtcNow():HH:mm:ss}, before in {before[r.Station.Name].Run?.Phase}, trip {before[r.Station.Name].Trip?.Cause}, now {r.Station.Runner.State.Run?.Phase}, trip {r.Station.Runner.State.Trip?.Cause}")).ToArray();
        await Task.Delay(_rigs.Values.Max(r => TimeSpan.FromMilliseconds(r.Simulated.Options.LeaseMilliseconds)) + Margin, clock).ConfigureAwait(false);
        return told;
    }

    public async ValueTask DisposeAsync()
    {
        if (_host is IAsyncDisposable host) await host.DisposeAsync().ConfigureAwait(false);
        foreach (var rig in _rigs.Values) await rig.Port.Port.DisposeAsync().ConfigureAwait(false);
    }

    private static RigWatcher Watcher(string name, SimulatedRigOptions rig, WatchedPort port) => new(
        name, rig.Drive.ToCode(rig.HardLimits.DriveFloor), rig.LeaseMilliseconds * 1000L, rig.HardLimits.DriveCeiling.Value, rig.Drive.StepVolts, port.Renewals);
}
