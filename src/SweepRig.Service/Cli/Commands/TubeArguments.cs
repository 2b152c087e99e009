using System.CommandLine;
using SweepRig.Rigs.Simulated;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Options that say which tubes stand in a simulated rig.</summary>
public sealed class TubeArguments
{
    private readonly Option<int?> _lot = Bounded.Whole(
        "--lot-seed", "SEED", $"Simulated tubes from a lot of {SimulatedTubes.LotCount} that differ, have aged, and of which {SimulatedTubes.LotDefective} are defective; the number names the lot (default: example tubes)",
        0, int.MaxValue, "", "Give any number in this range.");

    private readonly Option<int?> _number = Bounded.Whole(
        "--lot-tube", "N", "Tube of that lot in socket 0; the next ones stand beside it (default: 1)", 1, SimulatedTubes.LotCount, "", "Count from 1.");

    private readonly Option<DefectKind?> _defect = new("--defect")
    {
        Description = $"What is wrong with the simulated tube in socket 0: {Names} (default: nothing)",
        HelpName = "NAME",
        CustomParser = result =>
        {
            var name = result.Tokens[^1].Value;
            if (DefectKinds.Find(name) is { } kind) return kind;
            result.AddError($"--defect {name}: allowed is one of {Names}. Leave it out for a sound tube.");
            return null;
        },
    };

    /// <summary>All of them.</summary>
    public IReadOnlyList<Option> Options => [_lot, _number, _defect];

    private static string Names => string.Join(", ", DefectKinds.All.Concat(DefectKinds.Slow).Select(k => k.Name));

    public void AddTo(Command command)
    {
        foreach (var option in Options) command.Add(option);
        command.Validators.Add(result =>
        {
            if (result.GetResult(_number) is not null && result.GetResult(_lot) is null)
                result.AddError("--lot-tube without --lot-seed: a number means nothing without a lot. Name the lot with --lot-seed N.");
        });
    }

    /// <param name="parsed">The command line.</param>
    /// <param name="typical">Constants of the type asked for; null for the example tubes.</param>
    public SimulatedTubes Read(ParseResult parsed, TubeParameters? typical = null) =>
        new(parsed.GetValue(_lot), parsed.GetValue(_number) ?? 1, parsed.GetValue(_defect), typical);
}
