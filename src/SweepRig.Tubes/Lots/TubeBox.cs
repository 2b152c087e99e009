using System.Globalization;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Lots;

/// <summary>
/// Simulated tubes by the numbers written on them, so that a simulated hand finds for a number of the stock always the same tube: those of one lot come from seeded lots of
/// <see cref="Together"/>. What a tube is like is told by its <see cref="LotTube"/>, which a bench never sees. Pure but for what it keeps; safe from any thread.
/// </summary>
/// <param name="seed">Another seed is another box.</param>
/// <param name="impostors">Of each <see cref="Together"/> tubes, how many are of another type than is written on them; 0 to <see cref="Together"/>.</param>
public sealed class TubeBox(int seed, int impostors = 0)
{
    public const int Together = 60, Defective = 15;

    private readonly Dictionary<(string Lot, int Block, TubeParameters Typical), TubeLot> _lots = [];

    /// <param name="label">For example <c>SKUA-014</c>: lot and count. A label without a count is a lot of one.</param>
    /// <param name="typical">Constants of the type that is written on the tube.</param>
    /// <param name="others">Constants of types that an impostor could be.</param>
    public LotTube Take(string label, TubeParameters typical, IReadOnlyList<TubeParameters> others)
    {
        ArgumentNullException.ThrowIfNull(label);
        ArgumentNullException.ThrowIfNull(others);
        var dash = label.LastIndexOf('-');
        var counted = int.TryParse(label.AsSpan(dash + 1), NumberStyles.None, CultureInfo.InvariantCulture, out var count) && count > 0;
        var lot = counted ? label[..Math.Max(0, dash)] : label;
        var (block, place) = counted ? ((count - 1) / Together, (count - 1) % Together) : (0, 0);
        var random = new LotRandom(Seed(lot, block) ^ 0x1319);
        var places = Enumerable.Range(0, Together).ToArray();
        for (var n = places.Length - 1; n > 0; n--)
        {
            var other = random.Below(n + 1);
            (places[n], places[other]) = (places[other], places[n]);
        }
        var rank = Array.IndexOf(places, place);
        var isImpostor = rank < impostors && others.Count > 0;
        return Lot(lot, block, isImpostor ? others[rank % others.Count] : typical).Tubes[place];
    }

    private TubeLot Lot(string name, int block, TubeParameters typical)
    {
        lock (_lots)
        {
            if (!_lots.TryGetValue((name, block, typical), out var lot))
                _lots[(name, block, typical)] = lot = TubeLot.Draw(new(name, typical, Together, Defective), Seed(name, block));
            return lot;
        }
    }

    // FNV-1a, 32 bit (RFC 9923): the same on any machine, which string hashes are not.
    private int Seed(string lot, int block)
    {
        var hash = 2166136261u;
        foreach (var c in lot) hash = (hash ^ c) * 16777619u;
        return unchecked((int)hash ^ seed * 7919 ^ block * 104729);
    }
}
