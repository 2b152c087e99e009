using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Sweeps.Planning;

/// <summary>Ratings out of the type catalogue.</summary>
public static class CatalogueRatings
{
    /// <summary>Null for a type that the catalogue does not know.</summary>
    public static TypeRatings? Of(string typeName)
    {
        if (TypeCatalogue.Find(typeName) is not { } type) return null;
        // Small pentodes draw much the same screen current far positive; one without constants of its own is taken for an ordinary 6AU6.
        var parameters = type.Example ?? ExampleTubes.Sound6AU6;
        var model = new TubeModel(parameters, new(parameters.RatedHeater));
        return new(
            type.Name,
            [.. type.Heaters.Select(h => h.Voltage)],
            Limit(type, RatingKind.PlateDissipation),
            Limit(type, RatingKind.ScreenDissipation),
            (connection, drive) => ScreenWatts(model, connection, drive))
        {
            NotSweptBecause = type.NotSweptBecause is null ? null : string.Join(" ", new[] { type.NotSweptBecause, type.Caution }.OfType<string>()),
        };
    }

    private static double ScreenWatts(TubeModel model, Connection connection, Volts drive)
    {
        var point = new FixtureSolver(connection).Solve(model, drive.Value);
        return point.IsSolved ? point.Screen * point.ScreenCurrent : double.PositiveInfinity;
    }

    private static Watts? Limit(TubeType type, RatingKind kind) => type.Limit(kind) is { } watts ? new Watts(watts) : null;
}
