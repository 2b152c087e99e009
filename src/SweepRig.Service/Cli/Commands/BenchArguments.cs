using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Options that say which bench is to be put together in this process.</summary>
public sealed class BenchArguments
{
    private readonly Option<string?> _port = SharedOptions.Port();
    private readonly Option<string?> _bus = SharedOptions.Bus();
    private readonly Option<int?> _baud = SharedOptions.Baud();
    private readonly Option<double?> _heaterSpeed = SharedOptions.HeaterSpeed("10, and 1 with --port or --bus");
    private readonly Option<int?> _seed = SharedOptions.Seed();

    private readonly TubeArguments _tubes = new();

    private readonly Option<int?> _calibrationDays = Bounded.Whole(
        "--calibration-days", "N", $"Days that a calibration made here holds before it is stale (default: {CalibrationOrigin.DefaultValidity.TotalDays:0})", 1, 3650, "days", "Half a year is usual.");

    public Option<string?> Data { get; } = SharedOptions.Data();

    public void AddTo(Command command)
    {
        command.Add(_port);
        command.Add(_bus);
        command.Add(_baud);
        command.Add(Data);
        command.Add(_heaterSpeed);
        command.Add(_seed);
        _tubes.AddTo(command);
        command.Validators.Add(result =>
        {
            if (result.GetResult(_bus) is null) return;
            foreach (var other in _tubes.Options.Prepend(_seed).Prepend(_heaterSpeed).Prepend(_baud).Prepend(_port).Where(o => result.GetResult(o) is not null))
                result.AddError($"--bus and {other.Name} exclude each other: a rig on a direct bus has neither serial port nor simulated heater. Leave one out.");
        });
        command.Validators.Add(result =>
        {
            if (result.GetResult(_port) is null) return;
            foreach (var other in _tubes.Options.Where(o => result.GetResult(o) is not null))
                result.AddError($"--port and {other.Name} exclude each other: the rig on a port has a tube of its own. Leave one out, or give {other.Name} to sweeprig simulate.");
        });
        command.Add(_calibrationDays);
    }

    /// <summary>The first of them that says something about the rig; null when none was given.</summary>
    public Option? GivenAboutRig(ParseResult parsed) => new Option[] { _port, _bus, _baud, _heaterSpeed, _seed }.Concat(_tubes.Options).FirstOrDefault(o => parsed.GetResult(o) is not null);

    /// <summary>Options that tell of the only rig and cannot stand where several are named.</summary>
    public IEnumerable<Option> OfOneRig => new Option[] { _port, _bus }.Concat(_tubes.Options);

    /// <summary>The configuration of a direct bus that was named, for <see cref="RefusalLines.Tell"/>; empty when none was.</summary>
    public string BusFile(ParseResult parsed) => parsed.GetValue(_bus) ?? "";

    /// <returns>The options, or every fault of the configuration that --bus names.</returns>
    public Outcome<BenchOptions> Read(ParseResult parsed, CliContext context)
    {
        var options = new BenchOptions
        {
            DataDirectory = DataPlace.Of(parsed.GetValue(Data), context.Variable),
            Postgres = context.Postgres,
            Port = parsed.GetValue(_port),
            HeaterSpeed = parsed.GetValue(_heaterSpeed),
            Tubes = _tubes.Read(parsed),
        };
        if (parsed.GetValue(_calibrationDays) is { } days) options = options with { CalibrationValidity = TimeSpan.FromDays(days) };
        if (parsed.GetValue(_baud) is { } baud) options = options with { Baud = baud };
        if (parsed.GetValue(_seed) is { } seed) options = options with { Seed = seed };
        if (parsed.GetValue(_bus) is not { } file) return Outcome<BenchOptions>.Accept(options);
        return Parsing.BusFile.Read(file).Map(bus => options with { Bus = bus });
    }
}
