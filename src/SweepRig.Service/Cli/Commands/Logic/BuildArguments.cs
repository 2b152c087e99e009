using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Logic.Building;
using SweepRig.Logic.Gates;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Commands.Logic;

/// <param name="Document">Text of a network; null for a gate of the program.</param>
internal sealed record AskedBuild(string? Document);

/// <summary>What is to be built: a gate of the program with tubes and values, or a network out of a file.</summary>
internal sealed class BuildArguments
{
    private readonly Argument<string> _what = new("GATE|FILE") { Description = "One of the gates that sweeprig logic example lists; or a network (JSON, format network/1), or - for standard input" };
    private readonly Option<string[]> _tubes = StageArguments.Tubes(LogicGateCommands.Places);
    private readonly Option<double?>? _resistors, _rails;
    private readonly StageArguments _stage;

    /// <param name="solved">With the tolerances that parts are rated for.</param>
    public BuildArguments(Command command, bool solved = true)
    {
        command.Add(_what);
        command.Add(_tubes);
        if (solved)
        {
            var usual = new TolerancesView();
            _resistors = LogicGateCommands.Percent("--resistor-tolerance", "Of resistors", usual.ResistorPercent);
            _rails = LogicGateCommands.Percent("--rail-tolerance", "Of both rails", usual.RailPercent);
            command.Add(_resistors);
            command.Add(_rails);
        }
        _stage = new(command);
    }

    public BuildRequest Request(ParseResult parsed, double? meterOhms = null)
    {
        var usual = new TolerancesView();
        return new(
            What(parsed), _stage.Rails(parsed), _stage.Values(parsed, What(parsed)), parsed.GetValue(_tubes),
            usual with { ResistorPercent = (_resistors is null ? null : parsed.GetValue(_resistors)) ?? usual.ResistorPercent, RailPercent = (_rails is null ? null : parsed.GetValue(_rails)) ?? usual.RailPercent },
            meterOhms ?? TestVoltages.UsualMeterOhms);
    }

    public async Task<Outcome<AskedBuild>> ReadAsync(CliContext context, ParseResult parsed, CancellationToken cancellation)
    {
        var what = What(parsed);
        if (CircuitExamples.All.Any(e => e.Word == what)) return Outcome<AskedBuild>.Accept(new(null));
        if (what != PlanSource.StandardInput && !File.Exists(what) && what.IndexOfAny(['.', '/', '\\']) < 0)
        {
            var nearest = NearestKey.Of(what, [.. CircuitExamples.All.Select(e => e.Word)]);
            return Outcome<AskedBuild>.Refuse(new Refusal("gate-unknown", "", $"\"{what}\"", $"there is no file and no gate of that name; gates are {string.Join(", ", CircuitExamples.All.Select(e => e.Word))}", nearest is null ? "Write one of these, or a file." : $"Did you mean {nearest}?"));
        }
        // What would be passed over in silence is worse than a refusal.
        if (_stage.All.Prepend(_tubes).FirstOrDefault(o => parsed.GetResult(o) is { Implicit: false }) is { } given)
            return Outcome<AskedBuild>.Refuse(new Refusal("network-and-values", "", $"{given.Name} beside a network", "a network holds its own tubes, rails and values", $"Leave {given.Name} out and write it into the network, or name a gate."));
        return (await NetworkSource.TextAsync(context, what, cancellation)).Map(text => new AskedBuild(text));
    }

    private string What(ParseResult parsed) => parsed.GetRequiredValue(_what).Trim();
}
