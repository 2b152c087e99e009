using System.CommandLine;
using SweepRig.Rigs.Serial;
using SweepRig.Service.Hosting;
using SweepRig.Service.Stations;

namespace SweepRig.Service.Cli.Parsing;

/// <summary>Options that mean the same wherever they stand.</summary>
public static class SharedOptions
{
    public const string DataVariable = "SWEEPRIG_DATA";

    public static Option<bool> Json() => new("--json") { Description = "Write the result as JSON" };

    private const string UsualData = $"${DataVariable}, else sweeprig in your data directory";

    /// <summary>Of a command that opens the store; <see cref="StoreArguments"/> then says which of the stores.</summary>
    public static Option<string?> Data() => new DataOfStore { Description = $"Directory that keeps the runs (default: {UsualData})", HelpName = "DIR" };

    /// <summary>Of a command that only finds the service by it, or makes a store of its own.</summary>
    public static Option<string?> DataOnly(string unless = UsualData) => new("--data") { Description = $"Directory that keeps the runs (default: {unless})", HelpName = "DIR" };

    public static Option<string?> ServeUrl() =>
        new("--url") { Description = $"Address to serve the page at, on this machine only; port 0 takes any free one (default: {BenchOptions.DefaultUrl})", HelpName = "URL" };

    public static Option<string?> ServiceUrl() =>
        new("--url") { Description = "Address of the running service (default: the one that uses the data directory)", HelpName = "URL" };

    public static Option<string?> Rig(string whose = "Rig of a service that drives several, by its name (default: the only one)") => Bounded.Text(
        "--rig", "NAME", whose, StationName.Longest, "The names are those of GET /api/rigs and of the page.");

    public static Option<string?> Port() => Bounded.Text(
        "--port", "PORT", "Serial port of the rig, for example /dev/ttyUSB0 (default: the simulated rig)", 4096, "Give the path of a serial port, or leave it out for the simulated rig.");

    public static Option<string?> Bus() => Bounded.Text(
        "--bus", "FILE", "Configuration (JSON) of a rig on this computer's own I2C and SPI, without a microcontroller", 4096, "Give the path of a configuration, as in firmware-notes/direct-bus.example.json.");

    public static Option<int?> Baud() => Bounded.Whole(
        "--baud", "RATE", $"Rate of the serial port (default: {BenchOptionsDefaults.Baud})", SerialRigPort.MinBaud, SerialRigPort.MaxBaud, "baud", "Give the rate that the rig's firmware is built for.");

    public static Option<double?> HeaterSpeed(string otherwise) => Bounded.Number(
        "--heater-speed", "N", $"How many times faster than life a simulated heater warms (default: {otherwise})", 1, 1000, "", "Leave it out for a rig with real heaters.");

    public static Option<int?> Seed() => Bounded.Whole(
        "--seed", "N", "Seed of the simulated rig's noise and errors (default: 1)", 0, int.MaxValue, "", "Give any number in this range.");

    /// <summary>Marks a command as one that opens the store.</summary>
    public sealed class DataOfStore() : Option<string?>("--data");

    private static class BenchOptionsDefaults
    {
        public static int Baud { get; } = new BenchOptions { DataDirectory = "" }.Baud;
    }
}
