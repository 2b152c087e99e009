using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Rigs.Serial;
using SweepRig.Rigs.Simulated;
using SweepRig.Service.Stations;
using SweepRig.Storage;

namespace SweepRig.Service.Hosting;

/// <summary>How one bench is put together.</summary>
public sealed record BenchOptions
{
    public const string DefaultUrl = "http://127.0.0.1:5240";

    /// <summary>Time a real cathode is given. Common practice, no source: 10 to 30 s for a miniature tube, with a margin.</summary>
    public static TimeSpan RealWarmUp { get; } = TimeSpan.FromSeconds(40);

    /// <summary>Where runs are kept, and where this bench keeps what is its own beside a shared store. Made when missing.</summary>
    public required string DataDirectory { get; init; }

    /// <summary>Connection to a store that several benches share; null for the file in the data directory. May hold a password: never shown.</summary>
    public string? Postgres { get; init; }

    public StorePlace Store => new(DataDirectory, Postgres);

    /// <summary>The rigs of a service that drives several, in their order; empty for one that <see cref="Port"/>, <see cref="Bus"/> and what follows them tell of.</summary>
    public IReadOnlyList<RigChoice> Rigs { get; init; } = [];

    /// <summary>Serial port of the rig, for example <c>/dev/ttyUSB0</c>; null for the simulated rig in this process.</summary>
    public string? Port { get; init; }

    /// <summary>A rig on this computer's own buses; null for one on a serial port or the simulated one. Not together with <see cref="Port"/>.</summary>
    public BusConfig? Bus { get; init; }

    /// <summary>Rate of the serial port, in baud. Default <see cref="SerialRigPort.DefaultBaud"/>.</summary>
    public int Baud { get; init; } = SerialRigPort.DefaultBaud;

    /// <summary>Where the dashboard is served; a loopback address. Port 0 takes any free one.</summary>
    public string Url { get; init; } = DefaultUrl;

    /// <summary>How much faster than life a simulated heater warms, 1 to 1000. Null: 10 for the simulated rig of this process, 1 for a port or bus.</summary>
    public double? HeaterSpeed { get; init; }

    /// <summary>Seed of everything random in the simulated rig.</summary>
    public int Seed { get; init; } = 1;

    /// <summary>Tubes in the sockets of the simulated rig. Default: the example tubes.</summary>
    public SimulatedTubes Tubes { get; init; } = new();

    /// <summary>Of each 60 simulated tubes of the stock, how many are of another type than is written on them, 0 to 60. Default 0.</summary>
    public int Impostors { get; init; }

    /// <summary>A night that an earlier process left under way is taken up again. Default true; commands that have a bench for a moment leave it alone.</summary>
    public bool TakesUpNights { get; init; } = true;

    /// <summary>Time a heater must have been on before a sweep, at every rig; null derives it from <see cref="RealWarmUp"/> and the speed of the heater.</summary>
    public TimeSpan? WarmAfter { get; init; }

    /// <summary>How long a calibration that is made here holds before it is stale, 1 day to 10 years. Default 180 days.</summary>
    public TimeSpan CalibrationValidity { get; init; } = CalibrationOrigin.DefaultValidity;

    /// <exception cref="BenchStartException">A value is out of its range.</exception>
    public void ThrowIfBad()
    {
        if (CalibrationValidity < TimeSpan.FromDays(1) || CalibrationValidity > TimeSpan.FromDays(3650))
            throw new BenchStartException(FormattableString.Invariant($"A calibration is to hold for {CalibrationValidity.TotalDays:0.##} days; 1 to 3650 are possible. Half a year is usual."), badInput: true);
        foreach (var rig in Choices)
        {
            var which = Rigs.Count > 1 ? $" of rig {rig.Name}" : "";
            if (rig.Baud is < SerialRigPort.MinBaud or > SerialRigPort.MaxBaud)
                throw new BenchStartException($"Baud rate {rig.Baud}{which}; {SerialRigPort.MinBaud} to {SerialRigPort.MaxBaud} are possible. Give the rate that the rig's firmware is built for.", badInput: true);
            if (rig.HeaterSpeed is { } speed && !(speed is >= 1 and <= 1000))
                throw new BenchStartException(FormattableString.Invariant($"Heater speed {speed}{which}; 1 to 1000 are possible. 1 is as in life."), badInput: true);
        }
        if (RigChoices.Faults(Choices) is { Count: > 0 } faults) throw new BenchStartException(string.Join(" ", faults), badInput: true);
    }

    /// <summary>What the stations are made from: one or more.</summary>
    public IReadOnlyList<RigChoice> Choices => Rigs.Count > 0 ? Rigs : [Only];

    public double EffectiveHeaterSpeed => Only.EffectiveHeaterSpeed;

    public TimeSpan EffectiveWarmAfter => WarmAfterOf(Only);

    /// <summary>Time that the heaters of a rig must have been on before a sweep.</summary>
    public TimeSpan WarmAfterOf(RigChoice choice) => WarmAfter ?? RealWarmUp / choice.EffectiveHeaterSpeed;

    private RigChoice Only => new(StationName.Usual(0)) { Port = Port, Bus = Bus, Baud = Baud, HeaterSpeed = HeaterSpeed, Seed = Seed, Tubes = Tubes };
}
