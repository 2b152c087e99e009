using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Records;

/// <summary>Finds a run by its id, by the first digits of it, or as the newest.</summary>
public static class RunFinder
{
    public const string Latest = "latest";

    /// <summary>Fewest digits that are shown of an id.</summary>
    public const int ShortestShown = 8;

    public static async Task<Outcome<RunRecord>> FindAsync(RunStore store, string asked, CancellationToken cancellationToken)
    {
        var prefix = asked.ToLowerInvariant();
        if (prefix == Latest)
        {
            var newest = await store.ListAsync(1, null, cancellationToken);
            return newest.Count > 0 ? Outcome<RunRecord>.Accept(newest[0]) : Outcome<RunRecord>.Refuse(NothingYet(asked));
        }
        // What looks like an option is taken for an id where a command takes several.
        if (asked.StartsWith('-'))
            return Outcome<RunRecord>.Refuse(new Refusal("option-unknown", "", $"option {asked}", "this command has none of that name", "See its --help."));
        if (prefix.Length == 0 || !prefix.All(char.IsAsciiHexDigitLower))
            return Outcome<RunRecord>.Refuse(new Refusal("run-id-not-understood", "", $"run {asked}", "a run id is made of the digits 0 to 9 and a to f", $"See sweeprig runs list, or ask for {Latest}."));
        // Ids are listed downwards, and "~" comes after every digit: the first ones older than that begin with the prefix, or none does.
        var near = await store.ListAsync(3, prefix + "~", cancellationToken);
        var found = near.Where(r => r.Header.Id.StartsWith(prefix, StringComparison.Ordinal)).ToArray();
        return found.Length switch
        {
            1 => Outcome<RunRecord>.Accept(found[0]),
            0 => Outcome<RunRecord>.Refuse(new Refusal("run-unknown", "", $"run {asked}", "there is none of that id here", "See sweeprig runs list.")),
            _ => Outcome<RunRecord>.Refuse(new Refusal("run-id-ambiguous", "", $"run {asked}",
                $"more than one run begins so: {string.Join(", ", found.Select(r => r.Header.Id))}{(found.Length == 3 ? ", ..." : "")}", "Give more digits.")),
        };
    }

    /// <summary>Digits needed to tell these runs apart.</summary>
    public static int DigitsNeeded(IEnumerable<string> ids)
    {
        var sorted = ids.Order(StringComparer.Ordinal).ToArray();
        var needed = ShortestShown;
        for (var i = 1; i < sorted.Length; i++)
        {
            var same = sorted[i].Zip(sorted[i - 1]).TakeWhile(p => p.First == p.Second).Count();
            needed = Math.Max(needed, same + 1);
        }
        return needed;
    }

    private static Refusal NothingYet(string asked) => new("no-runs", "", $"run {asked}", "no run is recorded here yet", "Record one: sweeprig demo, or sweeprig sweep.");
}
