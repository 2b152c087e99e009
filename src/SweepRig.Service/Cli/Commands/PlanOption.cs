using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Service.Cli.Parsing;

namespace SweepRig.Service.Cli.Commands;

/// <summary>The option that names a plan, or leaves it at one that stays below 0 V.</summary>
/// <param name="use">What is taken from the plan, for example <c>Plan made of each tube</c>.</param>
public sealed class PlanOption(string use)
{
    private const string Usual = "gentle-pentode";

    private readonly Option<string?> _plan = Bounded.Text("--plan", "PLAN", $"{use} (default: {Usual})", 4096, "Give a plan file, or an example by name.");

    public void AddTo(Command command) => command.Add(_plan);

    /// <summary>The plan as named, for <see cref="RefusalLines.Tell"/>.</summary>
    public string Name(ParseResult parsed) => parsed.GetValue(_plan) ?? Usual;

    public Task<Outcome<SweepPlan>> ReadAsync(ParseResult parsed, CliContext context, CancellationToken cancellation) => PlanSource.ReadAsync(Name(parsed), context.Input, cancellation);
}
