using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Options that say which bench is to be put together in this process.</summary>
public sealed class BenchArguments
{
    private readonly Option<string?> _port = SharedOptions.Port();
    private readonly Option<int?> _baud = SharedOptions.Baud();
    private readonly Option<double?> _heaterSpeed = SharedOptions.HeaterSpeed("10, and 1 with --port");
    private readonly Option<int?> _seed = SharedOptions.Seed();

    public Option<string?> Data { get; } = SharedOptions.Data();

    public void AddTo(Command command)
    {
        command.Add(_port);
        command.Add(_baud);
        command.Add(Data);
        command.Add(_heaterSpeed);
        command.Add(_seed);
    }

    /// <summary>The first of them that says something about the rig; null when none was given.</summary>
    public Option? GivenAboutRig(ParseResult parsed) => new Option[] { _port, _baud, _heaterSpeed, _seed }.FirstOrDefault(o => parsed.GetResult(o) is not null);

    public BenchOptions Read(ParseResult parsed, CliContext context)
    {
        var options = new BenchOptions
        {
            DataDirectory = DataPlace.Of(parsed.GetValue(Data), context.Variable),
            Port = parsed.GetValue(_port),
            HeaterSpeed = parsed.GetValue(_heaterSpeed),
        };
        if (parsed.GetValue(_baud) is { } baud) options = options with { Baud = baud };
        return parsed.GetValue(_seed) is { } seed ? options with { Seed = seed } : options;
    }
}
