using SweepRig.Analysis;
using SweepRig.Analysis.Health;

namespace SweepRig.Service.Contract;

/// <param name="Name">Kebab-case, stable.</param>
/// <param name="Verdict"><c>good</c>, <c>doubtful</c>, <c>bad</c> or <c>not-seen</c>.</param>
public sealed record HealthItemView(
    string Name, string Title, Figure Figure, [property: OneOf("good", "doubtful", "bad", "not-seen")] string Verdict, string[] Reasons, string Method, string Source, string Shows, string CannotShow);

/// <summary>What a screening says of a tube.</summary>
/// <param name="Verdict">As of an item; <c>not-seen</c> where the screening did not run to its end.</param>
/// <param name="NotSeen">What this rig could not see, one line each.</param>
public sealed record HealthView(
    string ScreeningId, TubeView Tube, [property: OneOf("good", "doubtful", "bad", "not-seen")] string Verdict, string[] Reasons, HealthItemView[] Items, string[] NotSeen)
{
    public static HealthView Of(HealthReport report) => new(
        report.ScreeningId, new(report.Tube.Label, report.Tube.TypeName, report.Tube.Lot), Word(report.Verdict), [.. report.Reasons],
        [.. report.Items.Select(i => new HealthItemView(i.Name, i.Title, i.Figure, Word(i.Verdict), [.. i.Reasons], i.Method, i.Source, i.Shows, i.CannotShow))], [.. report.NotSeen]);

    public static string Word(HealthVerdict verdict) => verdict switch
    {
        HealthVerdict.Good => "good",
        HealthVerdict.Doubtful => "doubtful",
        HealthVerdict.Bad => "bad",
        HealthVerdict.NotSeen => "not-seen",
        _ => throw new InvalidOperationException($"SweepRig bug: verdict {verdict} has no word."),
    };
}
