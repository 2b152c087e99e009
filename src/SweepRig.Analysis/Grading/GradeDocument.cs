using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Analysis.Grading;

/// <summary>Grades with their limits as a JSON document (RFC 8259). Every fault is reported at once, with its path.</summary>
public static class GradeDocument
{
    /// <summary>Value of the key <c>format</c>.</summary>
    public const string Format = "grades/1";

    /// <summary>Longest document read, in characters.</summary>
    public const int MaxCharacters = 65_536;

    private const int MostGrades = 10, MostLimits = 40;

    /// <param name="json">The document.</param>
    /// <param name="quantities">What a limit can be on.</param>
    /// <returns>The scheme, or every fault with its JSON Pointer; malformed JSON gives one fault with line and column.</returns>
    public static Outcome<GradeScheme> Parse(string json, IReadOnlyList<NamedQuantity> quantities) => DocumentText.Open(json, MaxCharacters, "a list of grades", element =>
    {
        var faults = new List<Refusal>();
        var root = ObjectReader.Open(element, "", faults, "format", "guard", "grades");
        if (root is null) return Outcome<GradeScheme>.Refuse(faults);
        _ = root.Word("format", Format);
        var guard = root.Has("guard") ? root.Number("guard", 0, 3, "expanded uncertainties") : Conformity.UsualGuard;
        var grades = root.Objects("grades", MostGrades, "name", "limits").Select(g => Read(g, quantities)).ToArray();
        if (grades.Length == 0 && faults.Count == 0) root.Fault("bad-list", "grades", "no grade stands here", $"1 to {MostGrades} are needed, the best first", "Add one.");
        foreach (var twice in grades.OfType<Grade>().GroupBy(g => g.Name, StringComparer.OrdinalIgnoreCase).Where(g => g.Count() > 1))
            root.Fault("duplicate-name", "grades", $"{twice.Count()} grades are called \"{twice.Key}\"", "each name may stand once", "Rename one.");
        return faults.Count > 0 ? Outcome<GradeScheme>.Refuse(faults) : Outcome<GradeScheme>.Accept(new([.. grades.OfType<Grade>()], guard!.Value));
    });

    private static Grade? Read(ObjectReader grade, IReadOnlyList<NamedQuantity> quantities)
    {
        var name = grade.Line("name", 20);
        var limits = grade.Objects("limits", MostLimits, "quantity", "unit", "lowest", "highest").Select(l => ReadLimit(l, quantities)).ToArray();
        if (limits.Length == 0) grade.Fault("bad-list", "limits", "no limit stands here", $"1 to {MostLimits} are needed", "Add one; a grade without limits would be given to every tube.");
        return name is null ? null : new(name, [.. limits.OfType<QuantityLimit>()]);
    }

    private static QuantityLimit? ReadLimit(ObjectReader read, IReadOnlyList<NamedQuantity> quantities)
    {
        var quantity = read.Line("quantity", 60);
        var named = quantity is null ? null : quantities.FirstOrDefault(q => q.Word == quantity);
        if (quantity is not null && named is null)
        {
            var nearest = NearestKey.Of(quantity, [.. quantities.Select(q => q.Word)]);
            read.Fault("unknown-quantity", "quantity", $"quantity is \"{quantity}\"", "there is none of that name", nearest is null ? "The help of sweeprig grade lists them." : $"Did you mean \"{nearest}\"?");
            quantity = null;
        }
        var unit = named is null ? read.Line("unit", 10) : read.Word("unit", named.Unit);
        var lowest = read.Has("lowest") ? read.Number("lowest", -1e9, 1e9, unit ?? "V") : null;
        var highest = read.Has("highest") ? read.Number("highest", -1e9, 1e9, unit ?? "V") : null;
        if (quantity is null || unit is null) return null;
        var limit = new QuantityLimit(quantity, unit, lowest, highest);
        if (limit.Fault() is { } fault) read.Fault("bad-limit", "", fault, "lowest, highest or both are needed, the lowest below the highest", "Correct the limit.");
        return limit;
    }
}
