using System.Globalization;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Lots;

/// <summary>One tube of a simulated lot: the truth, kept apart from what a rig shows of it.</summary>
/// <param name="Label">As it would be written on the bulb.</param>
/// <param name="New">Constants when it left the factory.</param>
/// <param name="Age">What it has behind it.</param>
/// <param name="Defect">Kind of what is wrong with it; null for a sound one.</param>
/// <param name="Fault">The defect itself; null for a sound one.</param>
/// <param name="Specimen">What comes of all that: the only part that a bench is given.</param>
public sealed record LotTube(string Label, TubeParameters New, TubeAge Age, DefectKind? Defect, TubeDefect? Fault, Specimen Specimen);

/// <summary>How a lot is made up.</summary>
/// <param name="Name">Of the lot; labels begin with it.</param>
/// <param name="Typical">The middle of the lot.</param>
/// <param name="Count">Tubes, 1 or more.</param>
/// <param name="Defective">Of these with a defect, 0 to <paramref name="Count"/>. The kinds are taken in turn, so that each appears before one appears twice.</param>
public sealed record LotRecipe(string Name, TubeParameters Typical, int Count, int Defective)
{
    public LotSpread Spread { get; init; } = new();

    public IReadOnlyList<DefectKind> Kinds { get; init; } = DefectKinds.All;
}

/// <summary>A lot of simulated tubes with correlated spread, ageing and defects.</summary>
public sealed record TubeLot(string Name, int Seed, IReadOnlyList<LotTube> Tubes)
{
    /// <summary>Sound tubes ring, hum and wander a little too (illustrative).</summary>
    private static readonly (double From, double To) SoundRing = (0.1e-3, 1e-3), SoundWander = (0.1e-3, 0.8e-3), SoundHum = (0.05e-3, 0.8e-3);

    /// <summary>The same recipe and seed give the same lot.</summary>
    /// <exception cref="ArgumentException">Counts are out of range, or defects are asked for without kinds.</exception>
    public static TubeLot Draw(LotRecipe recipe, int seed)
    {
        ArgumentNullException.ThrowIfNull(recipe);
        if (recipe.Count < 1 || recipe.Defective < 0 || recipe.Defective > recipe.Count || (recipe.Defective > 0 && recipe.Kinds.Count == 0))
        {
            throw new ArgumentException(
                $"A lot of {recipe.Count} tubes with {recipe.Defective} defective ones of {recipe.Kinds.Count} kinds was asked for; allowed is 1 tube or more, of which up to all are defective, of at least one kind. Correct the recipe.",
                nameof(recipe));
        }
        // Where the defects sit and how bad they are has numbers of its own, so that sound tubes do not change with the number of bad ones.
        var places = Places(recipe, new LotRandom(seed ^ 0x0DEFEC7));
        var random = new LotRandom(seed);
        var tubes = new LotTube[recipe.Count];
        for (var n = 0; n < tubes.Length; n++) tubes[n] = DrawOne(recipe, seed, n, places[n], random);
        return new(recipe.Name, seed, tubes);
    }

    private static LotTube DrawOne(LotRecipe recipe, int seed, int number, DefectKind? kind, LotRandom random)
    {
        var fresh = recipe.Spread.DrawOne(recipe.Typical, random);
        var age = TubeAge.Draw(random);
        var sound = new TubeBehaviour
        {
            Microphony = new(random.LogUniform(SoundRing.From, SoundRing.To), random.Uniform(250, 900), random.Uniform(0.05, 0.3)),
            WanderVolts = random.LogUniform(SoundWander.From, SoundWander.To),
            WanderSeconds = random.Uniform(40, 120),
            HumVolts = random.LogUniform(SoundHum.From, SoundHum.To),
        };
        var aged = age.Apply(new(fresh, sound));
        var fault = kind?.Draw(unchecked(seed * 7919 + number));
        return new(Label(recipe.Name, number), fresh, age, kind, fault, fault?.Apply(aged) ?? aged);
    }

    private static string Label(string lot, int number) => string.Create(CultureInfo.InvariantCulture, $"{lot}-{number + 1:000}");

    private static DefectKind?[] Places(LotRecipe recipe, LotRandom random)
    {
        var places = new DefectKind?[recipe.Count];
        for (var n = 0; n < recipe.Defective; n++) places[n] = recipe.Kinds[n % recipe.Kinds.Count];
        // Fisher and Yates, Statistical Tables, 1938 (from memory).
        for (var n = places.Length - 1; n > 0; n--)
        {
            var other = random.Below(n + 1);
            (places[n], places[other]) = (places[other], places[n]);
        }
        return places;
    }
}
