using System.Globalization;

namespace SweepRig.Tubes.Catalogue;

/// <summary>What a bench lets a tube bear by one row of its ratings: less than the row says, where nobody compared it with the maker's sheet.</summary>
/// <param name="Row">The row that it comes from.</param>
public sealed record CarefulLimit(Rating Row)
{
    /// <summary>
    /// Of a row that nobody compared with the maker's sheet. The likeliest slip of memory is the row of a looser rating system: that of design-maximum lies
    /// 10 to 20 % above that of design-centre (12AX7: 330 over 300 V, 1.2 over 1.0 W; 6AU6: 3.5 over 3.0 W; both from memory), so that 1/1.2 = 0.83 takes it back, rounded down.
    /// </summary>
    public const double UnverifiedShare = 0.8;

    /// <summary>The share of a row that holds, 0 to 1, by how far it can be trusted.</summary>
    public static double Share(Confidence confidence) => confidence == Confidence.MakersSheet ? 1 : UnverifiedShare;

    /// <summary>In the unit of the kind.</summary>
    public double Value => Row.Value * Share(Row.Confidence);

    /// <summary>Why it is less than its row; null where it is not.</summary>
    public string? Because => Row.Confidence == Confidence.MakersSheet
        ? null
        : string.Create(CultureInfo.InvariantCulture, $"{100 * UnverifiedShare:0} % of {Row.Shown:0.###} {Row.Unit}, which is {Words(Row.Confidence)}");

    private static string Words(Confidence confidence) => confidence switch
    {
        Confidence.SeenInSecondarySource => "not from the maker's sheet",
        Confidence.FromMemorySure => "from memory, with good reason to be sure",
        _ => "from memory",
    };
}
