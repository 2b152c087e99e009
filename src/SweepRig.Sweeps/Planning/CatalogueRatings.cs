using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Sweeps.Planning;

/// <summary>Ratings out of a type catalogue. A row that nobody compared with the maker's sheet counts for less, see <see cref="CarefulLimit"/>.</summary>
public sealed class CatalogueRatings(TypeCatalogue catalogue)
{
    /// <summary>Those of the types that the project brings.</summary>
    public static CatalogueRatings BuiltIn { get; } = new(TypeCatalogue.BuiltIn);

    /// <summary>Null for a type that the catalogue does not know.</summary>
    public TypeRatings? Of(string typeName) => catalogue.Find(typeName) is { } type ? For(type) : null;

    public static TypeRatings For(TubeType type)
    {
        ArgumentNullException.ThrowIfNull(type);
        // Small pentodes draw much the same screen current far positive; one without constants of its own is taken for an ordinary 6AU6.
        var parameters = type.Example ?? ExampleTubes.Sound6AU6;
        var model = new TubeModel(parameters, new(parameters.RatedHeater));
        var (plate, screen) = (type.Careful(RatingKind.PlateDissipation), type.Careful(RatingKind.ScreenDissipation));
        return new(
            type.Name,
            [.. type.Heaters.Select(h => h.Voltage)],
            Watts(plate),
            Watts(screen),
            (connection, drive) => ScreenWatts(model, connection, drive))
        {
            Sections = [.. TubeSection.Of(type).Select(s => s.Name)],
            PlateBecause = plate?.Because,
            ScreenBecause = screen?.Because,
            NotSweptBecause = type.NotSweptBecause is null ? null : string.Join(" ", new[] { type.NotSweptBecause, type.Caution }.OfType<string>()),
        };
    }

    private static double ScreenWatts(TubeModel model, Connection connection, Volts drive)
    {
        var point = new FixtureSolver(connection).Solve(model, drive.Value);
        return point.IsSolved ? point.Screen * point.ScreenCurrent : double.PositiveInfinity;
    }

    private static Watts? Watts(CarefulLimit? limit) => limit is null ? null : new Watts(limit.Value);
}
