using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Service.Nights;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Service.Cli.Commands.Nights;

/// <summary>Reads the night that a command was given: a file, standard input, or one of the examples by name.</summary>
public static class NightSource
{
    /// <returns>The document as it was given, once it has no faults of its own.</returns>
    public static async Task<Outcome<NightText>> ReadAsync(string asked, TextReader input, CancellationToken cancellationToken)
    {
        if (asked == PlanSource.StandardInput) return Parse(await input.ReadToEndAsync(cancellationToken));
        if (!File.Exists(asked) && NightExamples.Find(asked) is { } example) return Parse(example.Document);
        try
        {
            return Parse(await File.ReadAllTextAsync(asked, cancellationToken));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            var why = Directory.Exists(asked) ? "it is a directory" : fault is FileNotFoundException or DirectoryNotFoundException ? "there is no such file" : fault.Message.TrimEnd('.');
            return Outcome<NightText>.Refuse(new Refusal("night-not-readable", "", "the night cannot be read", why, $"Give a file, - for standard input, or an example: {string.Join(", ", NightExamples.All.Select(e => e.Name))}."));
        }
    }

    private static Outcome<NightText> Parse(string json) => NightDocument.Parse(json).Map(order => new NightText(order, JsonElement.Parse(json.TrimStart('\uFEFF'))));
}

/// <param name="Order">As read.</param>
/// <param name="Document">As given.</param>
public sealed record NightText(NightOrder Order, JsonElement Document);
