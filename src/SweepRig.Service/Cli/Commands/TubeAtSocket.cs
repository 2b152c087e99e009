using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Service.Cli.Commands.Stock;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Options that say which tube is meant and in which socket it is.</summary>
public sealed class TubeAtSocket
{
    /// <summary>Most that a rig can have.</summary>
    public const int MaxSockets = 8;

    private readonly Option<string?> _label = Bounded.Text("--tube", "LABEL", "The number written on the tube, for example SKUA-014; SKUA-014/2 is its second section", 80, "Give the number written on the tube.");
    private readonly Option<string?> _type = Bounded.Text("--type", "TYPE", "The type printed on it, for example 6AU6 (default: as the stock has it)", 80, "Give the type printed on the tube.");
    private readonly Option<string?> _lot = Bounded.Text("--lot", "LOT", "The lot it was bought with (default: as the stock has it)", 80, "Give the lot, or leave it out.");
    private readonly Option<int?> _socket = Bounded.Whole("--socket", "N", "Socket it is in, from 0 (default: 0)", 0, MaxSockets - 1, "", "Count the sockets of the rig from 0.");

    public void AddTo(Command command)
    {
        _label.Required = true;
        foreach (var option in new Option[] { _label, _type, _lot, _socket }) command.Add(option);
    }

    public int Socket(ParseResult parsed) => parsed.GetValue(_socket) ?? 0;

    /// <summary>The tube as said, and for the rest as the stock has it; remarks go to standard error.</summary>
    /// <param name="data">The data directory as given; null for the usual one.</param>
    public Task<Outcome<StockedTube>> ReadAsync(ParseResult parsed, CliContext context, string? data, CancellationToken cancellation) =>
        StockedTubes.ReadAsync(context, data, parsed.GetRequiredValue(_label)!, parsed.GetValue(_type), parsed.GetValue(_lot), cancellation);
}
