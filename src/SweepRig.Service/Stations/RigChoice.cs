using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Rigs.Serial;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Service.Stations;

/// <summary>Which rig a station is to have: on a serial port, on this computer's own buses, or simulated in this process.</summary>
/// <param name="Name">Of the station, see <see cref="StationName"/>.</param>
public sealed record RigChoice(string Name)
{
    /// <summary>Serial port of the rig, for example <c>/dev/ttyUSB0</c>.</summary>
    public string? Port { get; init; }

    /// <summary>Rate of the serial port, in baud. Default <see cref="SerialRigPort.DefaultBaud"/>.</summary>
    public int Baud { get; init; } = SerialRigPort.DefaultBaud;

    /// <summary>A rig on this computer's own buses; not together with <see cref="Port"/>.</summary>
    public BusConfig? Bus { get; init; }

    /// <summary>How much faster than life a simulated heater warms, 1 to 1000. Null: 10 for a rig simulated in this process, 1 for a port or bus.</summary>
    public double? HeaterSpeed { get; init; }

    /// <summary>Seed of everything random in a simulated rig.</summary>
    public int Seed { get; init; } = 1;

    /// <summary>Tubes in the sockets of a simulated rig. Default: the example tubes.</summary>
    public SimulatedTubes Tubes { get; init; } = new();

    /// <summary>Serial number of the rig. Null: as it says itself, and SIM-0001, SIM-0002... for simulated ones.</summary>
    public string? SerialNumber { get; init; }

    /// <summary>What else a simulated rig is made of; its serial number, seed, heater speed and tubes are those above. Default: a healthy rig.</summary>
    public SimulatedRigOptions Simulation { get; init; } = new();

    public bool IsSimulated => Port is null && Bus is null;

    public double EffectiveHeaterSpeed => HeaterSpeed ?? (IsSimulated ? 10 : 1);

    /// <summary>The simulated rig that is meant.</summary>
    /// <param name="place">Its place among the stations, from 0.</param>
    public SimulatedRigOptions Simulated(int place) => Tubes.Apply(Simulation with
    {
        SerialNumber = SerialNumber ?? FormattableString.Invariant($"SIM-{place + 1:0000}"), Seed = Seed, HeaterSpeed = EffectiveHeaterSpeed,
    });

    /// <summary>For people, in one line.</summary>
    public string Words() =>
        Bus is { } bus ? $"{bus.SerialNumber} on this computer's I2C bus {bus.I2cBus}; drive up to {bus.HardLimits.DriveCeiling}"
        : Port is { } port ? $"{port} at {Baud} baud"
        : "simulated";
}
