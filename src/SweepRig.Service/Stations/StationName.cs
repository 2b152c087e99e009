using SweepRig.Domain;

namespace SweepRig.Service.Stations;

/// <summary>The name of a station: 1 to 32 of a to z, 0 to 9 and -, so that it stands in an address and on a command line as it is.</summary>
public static class StationName
{
    public const int Longest = 32;

    /// <summary>The name of a station that was given none.</summary>
    /// <param name="place">Its place among the stations, from 0.</param>
    public static string Usual(int place) => FormattableString.Invariant($"rig-{place + 1}");

    /// <returns>What is wrong with a name; null for nothing.</returns>
    public static Refusal? Fault(string name) =>
        name.Length is >= 1 and <= Longest && name.All(c => char.IsAsciiLetterLower(c) || char.IsAsciiDigit(c) || c == '-')
            ? null
            : new("rig-name-bad", "", $"the rig name \"{(name.Length <= 40 ? name : name[..40] + "...")}\"", $"1 to {Longest} of a to z, 0 to 9 and -", "Give a short name, like left or rig-2.");
}
