using System.CommandLine;
using SweepRig.Analysis.Laws;

namespace SweepRig.Service.Cli.Parsing;

/// <summary>Which model a tube is fitted with.</summary>
/// <param name="Name">As it is given on the command line.</param>
/// <param name="Laws">To fit beside the model of the tube; null for the model alone, empty for all laws that speak of the runs.</param>
public sealed record LawChoice(string Name, IReadOnlyList<PlainLaw>? Laws)
{
    private static readonly LawChoice[] All =
    [
        new("tube", null), new("three-halves", [PlainLaw.ThreeHalves]), new("free-exponent", [PlainLaw.FreeExponent]),
        new("koren-triode", [PlainLaw.KorenTriode]), new("koren-pentode", [PlainLaw.KorenPentode]), new("laws", []),
    ];

    private static readonly string Names = string.Join(", ", All.Select(c => c.Name));

    public static Option<LawChoice> Option() => new("--model")
    {
        Description = $"What to fit: {Names}. \"tube\" is the model of the tube, \"laws\" all plain laws beside it",
        HelpName = "NAME",
        DefaultValueFactory = _ => All[0],
        CustomParser = result =>
        {
            var text = result.Tokens[^1].Value;
            if (Array.Find(All, c => c.Name == text) is { } choice) return choice;
            result.AddError($"--model {text}: allowed is one of {Names}. Leave it out for the model of the tube.");
            return null;
        },
    };
}
