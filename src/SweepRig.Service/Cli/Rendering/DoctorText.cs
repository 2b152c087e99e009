using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;
using SweepRig.Service.Doctor;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Findings for people: verdict, topic and what was found in columns, what to do below it.</summary>
public static class DoctorText
{
    private const int VerdictWidth = 6;

    /// <param name="width">Columns to stay within; null for one piece a line, as a file or pipe gets it.</param>
    public static IEnumerable<string> Lines(IReadOnlyList<Finding> findings, Ink ink, int? width)
    {
        var indent = VerdictWidth + findings.Max(f => f.Topic.Length) + 2;
        foreach (var finding in findings)
        {
            var lead = ExaminationView.Word(finding.Verdict).PadRight(VerdictWidth);
            var head = (finding.Verdict switch { Verdict.Bad => ink.Alarm(lead), Verdict.Look => ink.Strong(lead), _ => lead }) + finding.Topic.PadRight(indent - VerdictWidth);
            foreach (var part in Parts(finding.Found, width - indent))
            {
                yield return head + part;
                head = new string(' ', indent);
            }
            if (finding.Remedy is null) continue;
            foreach (var part in Parts(finding.Remedy, width - indent)) yield return new string(' ', indent) + ink.Faint(part);
        }
        yield return "";
        yield return Sum(findings);
    }

    private static string Sum(IReadOnlyList<Finding> findings)
    {
        var (bad, look) = (findings.Count(f => f.Verdict == Verdict.Bad), findings.Count(f => f.Verdict == Verdict.Look));
        return (bad, look) switch
        {
            (0, 0) => "All is well.",
            (0, 1) => "All works; one thing is to be looked at.",
            (0, _) => $"All works; {look} things are to be looked at.",
            (1, _) => "One thing does not work.",
            _ => $"{bad} things do not work.",
        };
    }

    // The wrapping indents what goes on; here all parts stand in one column.
    private static IEnumerable<string> Parts(string text, int? width) => width is { } columns ? WrappedText.Of(text, Math.Max(30, columns)).Select(p => p.TrimStart()) : [text];
}
