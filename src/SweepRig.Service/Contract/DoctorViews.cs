using SweepRig.Service.Doctor;

namespace SweepRig.Service.Contract;

/// <summary>What an examination found.</summary>
/// <param name="Verdict">The worst of all.</param>
public sealed record ExaminationView([property: OneOf("good", "look", "bad")] string Verdict, ExaminedView[] Findings)
{
    public static ExaminationView Of(IReadOnlyList<Finding> findings) => new(Word(findings.Max(f => f.Verdict)), [.. findings.Select(f => new ExaminedView(f.Topic, Word(f.Verdict), f.Found, f.Remedy))]);

    public static string Word(Verdict verdict) => verdict switch
    {
        Doctor.Verdict.Good => "good",
        Doctor.Verdict.Look => "look",
        Doctor.Verdict.Bad => "bad",
        _ => throw new InvalidOperationException($"SweepRig bug: verdict {verdict} has no word."),
    };
}

/// <param name="Remedy">What to do; null where nothing is to be done.</param>
public sealed record ExaminedView(string Topic, [property: OneOf("good", "look", "bad")] string Verdict, string Found, string? Remedy);
