using SweepRig.Domain.Runs;
using SweepRig.Domain.Watching;
using SweepRig.Rigs;
using SweepRig.Rigs.Bus;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Serial;
using SweepRig.Rigs.Simulated;
using SweepRig.Service.Calibrations;
using SweepRig.Service.Fits;
using SweepRig.Service.Hosting;
using SweepRig.Service.Nights;
using SweepRig.Service.Rounds;
using SweepRig.Service.Stock;
using SweepRig.Service.Watching;
using SweepRig.Storage;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Running;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;

namespace SweepRig.Service.Stations;

/// <summary>Puts stations together from what all of them share.</summary>
/// <param name="observer">Null for nobody who looks on.</param>
public sealed class StationMaker(
    BenchOptions options,
    IRunRecorder recorder,
    RunStore runs,
    StockStore stock,
    NightStore nights,
    CalibrationStore calibrations,
    CalibrationShelf shelf,
    CalibrationRules rules,
    RuleSettings interlocks,
    TypeCatalogue types,
    Workbench workbench,
    FigureShelf figures,
    AdaptiveChooser chooser,
    TimeProvider time,
    ILoggerFactory logs,
    IPortObserver? observer = null,
    IWatch? watch = null)
{
    /// <summary>One for each desk: round, calibration, night.</summary>
    private const int ThreadsOfStation = 3;

    private readonly PortRoll _roll = new();

    public StationList MakeAll()
    {
        // All before the first is opened, so that none looks for its rig where another's is to be.
        foreach (var choice in options.Choices)
        {
            if (choice.Port is { } port) _roll.Reserve(choice.Name, port);
            if (choice.Bus is { } bus) _roll.Enter(bus.SerialNumber, choice.Name);
        }
        LeaveThreads(options.Choices.Count);
        return new([.. options.Choices.Select(Make)]);
    }

    /// <summary>
    /// SQLite has no asynchronous calls: whoever asks the store holds a thread of the pool meanwhile. Were there no more of them than cores, the desks of eight rigs would
    /// hold all at the start, and the leases and links of all rigs wait behind.
    /// </summary>
    private static void LeaveThreads(int stations)
    {
        ThreadPool.GetMinThreads(out var least, out var ports);
        ThreadPool.SetMinThreads(Math.Max(least, Environment.ProcessorCount + ThreadsOfStation * stations), ports);
    }

    private Station Make(RigChoice choice, int place)
    {
        var simulated = choice.IsSimulated ? new SimulatedRig(choice.Simulated(place), time) : null;
        var rig = MakeRig(choice, simulated);
        var runner = new SweepRunner(rig, recorder, RunnerOptions(choice), time, LogOf<SweepRunner>(choice));
        return Around(choice, runner, simulated, rig);
    }

    /// <summary>A station with a runner that somebody else made.</summary>
    public Station Around(RigChoice choice, ISweepRunner runner, SimulatedRig? simulated = null, IRig? rig = null)
    {
        // The same seed gives every station the same tubes, so that a tube is what it is at whichever rig.
        IHands? hands = simulated is null ? null : new SimulatedHands(simulated, new TubeBox(options.Seed, options.Impostors));
        IPracticeMeter? meter = simulated is null ? null : new SimulatedPracticeMeter(simulated);
        var round = new RoundDesk(runner, runs, stock, types, workbench, time, LogOf<RoundDesk>(choice), hands);
        var night = new NightDesk(choice, options.WarmAfterOf(choice), runner, round, runs, nights, stock, types, figures, workbench, interlocks, time, LogOf<NightDesk>(choice), watch);
        round.HasTheRig = () => night.Picture is { IsOver: false } picture ? $"the night \"{picture.Order.Name}\"" : null;
        return new(
            choice,
            runner,
            new CalibrationDesk(runner, calibrations, shelf, rules, time, meter),
            round,
            night)
        {
            Rig = rig,
            Simulated = simulated,
        };
    }

    private ILogger<T> LogOf<T>(RigChoice choice) => options.Choices.Count > 1 ? new StationLogger<T>(logs.CreateLogger<T>(), choice.Name) : logs.CreateLogger<T>();

    private RunnerOptions RunnerOptions(RigChoice choice) => new()
    {
        RigName = choice.Name,
        WarmAfter = options.WarmAfterOf(choice),
        SoftwareVersion = BenchServices.SoftwareVersion,
        Rules = interlocks,
        CalibrationOf = shelf.Of,
        RatingsOf = new CatalogueRatings(types).Of,
        ChooseDrives = chooser.NextAsync,
        OnInvariantBroken = (_, said) => watch?.Post(BenchEvent.Of(
            time.GetUtcNow(), choice.Name, EventSeverity.Alarm, EventKind.InvariantBroken, said, "The bench was made safe. Keep the log of the service, acknowledge once the rig is seen at rest, and report it.")),
    };

    private IRig MakeRig(RigChoice choice, SimulatedRig? simulated)
    {
        if (choice.Bus is { } bus)
        {
            var board = new BoardBusPort(bus);
            return new BusRig(bus, observer?.Around(choice, board) ?? board, time, LogOf<BusRig>(choice));
        }
        var roaming = simulated is null ? new RoamingPort(choice.Name, choice.Port!, choice.SerialNumber, _roll, PluggedPorts.Instance, path => new SerialRigPort(path, choice.Baud, time)) : null;
        IRigPort port = roaming is null ? new SimulatedRigPort(simulated!) : roaming;
        return new LinkRig(observer?.Around(choice, port) ?? port, time, LogOf<LinkRig>(choice), roaming);
    }
}
