using SweepRig.Domain;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Tells refusals: a line each for people, one object for a program.</summary>
public static class RefusalLines
{
    /// <param name="of">What the paths of the refusals lie in, for example the name of a plan file; may be empty.</param>
    /// <returns><paramref name="exitCode"/>.</returns>
    public static int Tell(this CliContext context, IReadOnlyList<Refusal> refusals, bool json, int exitCode, string of = "")
    {
        foreach (var refusal in refusals)
        {
            var where = of.Length == 0 ? "" : refusal.Path.Length == 0 ? $"{of}: " : $"{of} {refusal.Path}: ";
            context.Terminal.Complain($"{where}{Asked(refusal)}; {refusal.Allowed}. {refusal.Remedy}");
        }
        if (json) CliJson.WriteRefusals(context.Terminal, refusals);
        return exitCode;
    }

    // A sentence begins with a capital, but a key of a plan is written as it is: the reader is to find it again.
    private static string Asked(Refusal refusal)
    {
        var text = refusal.Asked;
        var key = refusal.Path[(refusal.Path.LastIndexOf('/') + 1)..];
        return text.Length == 0 || (key.Length > 0 && text.StartsWith(key + " ", StringComparison.Ordinal)) ? text : char.ToUpperInvariant(text[0]) + text[1..];
    }

    /// <summary>Tells what became of an act: the refusals, the answer as JSON, or one line.</summary>
    /// <returns>The exit code.</returns>
    public static int Answer<T>(this CliContext context, Outcome<T> outcome, bool json, Func<T, string> line)
        where T : class
    {
        if (!outcome.IsAccepted) return context.Tell(outcome.Refusals, json, ExitCode.Refused);
        if (json) CliJson.Write(context.Terminal, outcome.Value);
        else context.Terminal.Line(line(outcome.Value));
        return ExitCode.Good;
    }
}
