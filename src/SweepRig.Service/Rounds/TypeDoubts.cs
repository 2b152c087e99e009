using System.Globalization;
using SweepRig.Analysis.Models;
using SweepRig.Analysis.Types;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;
using SweepRig.Sweeps.Rounds;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Rounds;

/// <summary>Whether a curve can be of the type that is on record for its tube. Pure.</summary>
/// <remarks>Only types with constants of their own in the catalogue can be told; where those are alike (a 6CB6 and a 6AK5, say) a curve is of both.</remarks>
public static class TypeDoubts
{
    /// <returns>What speaks against it; null where nothing does, or where it cannot be told.</returns>
    /// <exception cref="OperationCanceledException">The asker has gone.</exception>
    public static TypeDoubt? Of(RecordedRun run, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(run);
        if (TypeCatalogue.BuiltIn.Find(run.Record.Header.Tube.TypeName) is not { Example: { } example } type) return null;
        // One start is enough for the many that are what they are said to be; whoever is doubted is fitted with all.
        var quick = TubeFitter.Fit([TubeFits.Model(run)], new() { Typical = example, Starts = 1, Cancellation = cancellation });
        if (TypeComparison.Of(quick, example) is not { CannotBe: true }) return null;
        var fit = TubeFits.Fit([run], cancellation);
        if (TypeComparison.Of(fit, example) is not { CannotBe: true } apart) return null;
        var others = TypeCatalogue.BuiltIn.All.Where(t => t.Example is not null && t.Name != type.Name)
            .Select(t => (t.Name, Comparison: TypeComparison.Of(fit, t.Example!)!)).Where(t => !t.Comparison.CannotBe).OrderBy(t => t.Comparison.Distance2).Select(t => t.Name).ToArray();
        return new(
            $"its curve cannot be of one: {ConstantWords.Title(apart.Furthest).ToLowerInvariant()} is {Value(fit.Tube!, apart.Furthest)} and would be about {Value(example, apart.Furthest)}", others);
    }

    private static string Value(TubeParameters tube, TubeParameter parameter)
    {
        var unit = TubeCoordinates.Unit(parameter);
        return TubeCoordinates.Value(tube, parameter).ToString("G3", CultureInfo.InvariantCulture) + (unit == "1" ? "" : $" {unit}");
    }
}
