using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Rounds;

/// <summary>What a round is to do.</summary>
/// <param name="Sockets">Those that are used, from 0; 1 or more, each once.</param>
/// <param name="WarmAfter">Time that a tube is hot before it is swept, 0 or more.</param>
/// <param name="Tubes">In the order in which they are asked for; 1 or more, each number once.</param>
public sealed record RoundSetup(IReadOnlyList<int> Sockets, TimeSpan WarmAfter, IReadOnlyList<Tube> Tubes)
{
    /// <summary>All that is wrong with it.</summary>
    /// <param name="socketsOfRig">How many the rig has.</param>
    public IEnumerable<Refusal> Faults(int socketsOfRig)
    {
        if (Sockets.Count == 0)
            yield return new("no-sockets", "/sockets", "no socket is named", "at least one is needed", "Name the sockets, or leave them out for all.");
        foreach (var socket in Sockets.Where(s => s < 0 || s >= socketsOfRig))
            yield return new("socket-unknown", "/sockets", $"socket {Text(socket)}", $"this rig has sockets 0 to {Text(socketsOfRig - 1)}", "Name one of those.");
        foreach (var twice in Sockets.GroupBy(s => s).Where(g => g.Count() > 1))
            yield return new("socket-twice", "/sockets", $"socket {Text(twice.Key)} is named {Text(twice.Count())} times", "each socket stands once", "Leave one out.");
        if (Tubes.Count == 0)
            yield return new("no-tubes", "/tubes", "no tube is left to be swept", "at least one is needed", "Book tubes in, or name those that are to be swept again.");
        foreach (var twice in Tubes.GroupBy(t => t.Label, StringComparer.Ordinal).Where(g => g.Count() > 1))
            yield return new("tube-twice", "/tubes", $"{twice.Key} is named {Text(twice.Count())} times", "each tube stands once", "Leave one out, or read the number on the other again.");
    }

    private static string Text(int number) => number.ToString(CultureInfo.InvariantCulture);
}
