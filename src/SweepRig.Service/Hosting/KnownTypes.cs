using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Planning;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Hosting;

/// <summary>What the planner asks of a tube type, out of the catalogue.</summary>
public static class KnownTypes
{
    /// <returns>The type's ratings; null where the type, or its plate dissipation, is not known, and nothing can be checked.</returns>
    public static TypeRatings? RatingsOf(string typeName)
    {
        if (TypeCatalogue.Find(typeName) is not { } type || type.Limit(RatingKind.PlateDissipation) is not { } plate) return null;
        Watts? screen = type.Limit(RatingKind.ScreenDissipation) is { } watts ? new(watts) : null;
        // A tapped heater is listed with its parallel supply first, which is the bench's 6.3 V.
        return new(type.Name, type.Heaters[0].Voltage, new(plate), screen, type.Example is { } example ? ScreenWatts(example, type.Heaters[0].Voltage) : null);
    }

    private static Func<Connection, Volts, double> ScreenWatts(TubeParameters example, Volts heater) => (connection, drive) =>
    {
        var point = new FixtureSolver(connection).Solve(new TubeModel(example, heater), drive.Value);
        // A point that was not solved must not make a plan look harmless.
        return point.IsSolved ? point.Screen * point.ScreenCurrent : double.PositiveInfinity;
    };
}
