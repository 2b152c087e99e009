namespace SweepRig.Domain.Plans.Reading;

/// <summary>Finds the known key that a misspelt one most likely meant.</summary>
public static class NearestKey
{
    /// <summary>A third of the letters may differ; beyond that a guess misleads more than it helps.</summary>
    public static string? Of(string key, IReadOnlyList<string> known)
    {
        string? best = null;
        var bestDistance = int.MaxValue;
        foreach (var candidate in known)
        {
            var distance = Distance(key.ToUpperInvariant(), candidate.ToUpperInvariant());
            if (distance >= bestDistance) continue;
            bestDistance = distance;
            best = candidate;
        }
        if (best is not null && bestDistance <= Math.Max(2, best.Length / 3)) return best;
        // Units are easily left off: "start" for "startVolts".
        return key.Length < 3 ? null : known.FirstOrDefault(k => k.StartsWith(key, StringComparison.OrdinalIgnoreCase));
    }

    /// <summary>Insertions, deletions and substitutions that turn one into the other (Levenshtein 1966).</summary>
    private static int Distance(string a, string b)
    {
        // A hostile key of a million letters must not cost a million times the length of a known one.
        if (Math.Abs(a.Length - b.Length) > 16) return int.MaxValue;
        var row = new int[b.Length + 1];
        for (var j = 0; j < row.Length; j++) row[j] = j;
        for (var i = 1; i <= a.Length; i++)
        {
            var diagonal = row[0];
            row[0] = i;
            for (var j = 1; j <= b.Length; j++)
            {
                var above = row[j];
                row[j] = Math.Min(Math.Min(row[j], row[j - 1]) + 1, diagonal + (a[i - 1] == b[j - 1] ? 0 : 1));
                diagonal = above;
            }
        }
        return row[^1];
    }
}
