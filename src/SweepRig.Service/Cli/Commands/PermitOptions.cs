using System.CommandLine;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Commands;

/// <summary>The three parts of a permit. They are given together or not at all.</summary>
/// <param name="prefix">Between the dashes and the names, for example <c>permit-</c>; may be empty.</param>
public sealed class PermitOptions(string prefix)
{
    private readonly Option<double?> _ceiling = Bounded.Number(
        $"--{prefix}ceiling", "V", "Highest drive permitted", 0, ExtraLowVoltage.Limit.Value, "V", "Ask for the highest drive that the plan needs.", aboveMin: true);

    private readonly Option<double?> _minutes = Bounded.Number(
        $"--{prefix}minutes", "M", "How long it lasts", 0, Permit.MaxDuration.TotalMinutes, "minutes", "Ask for as long as the sweep takes.", aboveMin: true);

    private readonly Option<string?> _reason = Bounded.Text(
        $"--{prefix}reason", "TEXT", "Why the grid is to be driven positive; it is logged", 200, "Say in a few words why.");

    public void AddTo(Command command)
    {
        command.Add(_ceiling);
        command.Add(_minutes);
        command.Add(_reason);
    }

    public bool AnyGiven(ParseResult parsed) => Options.Any(o => parsed.GetResult(o) is not null);

    /// <returns>The names of those that are missing.</returns>
    public IReadOnlyList<string> Missing(Func<Option, bool> isGiven) => [.. Options.Where(o => !isGiven(o)).Select(o => o.Name)];

    public IReadOnlyList<Option> Options => [_ceiling, _minutes, _reason];

    public PermitRequest Read(ParseResult parsed) =>
        new(parsed.GetValue(_ceiling)!.Value, parsed.GetValue(_minutes)!.Value * 60, parsed.GetValue(_reason)!);
}
