using SweepRig.Domain;
using SweepRig.Domain.Plans;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Reads the plan that a command was given: a file, standard input, or one of the examples by name.</summary>
public static class PlanSource
{
    public const string StandardInput = "-";

    public static async Task<Outcome<SweepPlan>> ReadAsync(string asked, TextReader input, CancellationToken cancellationToken)
    {
        if (asked == StandardInput) return PlanDocument.Parse(await input.ReadToEndAsync(cancellationToken));
        if (!File.Exists(asked) && PlanExamples.Find(asked) is { } example) return Outcome<SweepPlan>.Accept(example.Plan);
        try
        {
            return PlanDocument.Parse(await File.ReadAllTextAsync(asked, cancellationToken));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            var why = Directory.Exists(asked) ? "it is a directory"
                : fault is FileNotFoundException or DirectoryNotFoundException ? "there is no such file" : fault.Message.TrimEnd('.');
            return Outcome<SweepPlan>.Refuse(new Refusal(
                "plan-not-readable", "", "the plan cannot be read", why, $"Give a plan file, - for standard input, or an example: {string.Join(", ", PlanExamples.All.Select(e => e.Name))}."));
        }
    }
}
