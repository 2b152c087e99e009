using SweepRig.Logic.Search;

namespace SweepRig.Logic.Building;

/// <summary>A tube to be plugged in.</summary>
/// <param name="Position">Name of its place.</param>
/// <param name="Number">In the stock; null for one that is not of the stock.</param>
/// <param name="HeaterAmps">Null when not known.</param>
/// <param name="MostCathodeAmps">Over all rows.</param>
/// <param name="MostPlateWatts">Of the plate; in triode connection of plate and screen together.</param>
public sealed record ListedTube(string Position, string? Number, string? TypeName, bool IsTriode, double HeaterVolts, double? HeaterAmps, double MostCathodeAmps, double MostPlateWatts);

/// <summary>Resistors of one value.</summary>
/// <param name="Ohms">Nominal.</param>
/// <param name="Series">The coarsest series that has the value; null when none has.</param>
/// <param name="MostWatts">Of the one that gets hottest, with rail and resistor at the adverse end of their tolerances.</param>
/// <param name="RatedWatts">The next size that bears it twice over; null when none of the usual does.</param>
public sealed record ListedResistors(double Ohms, PreferredSeries? Series, IReadOnlyList<string> Names, double MostWatts, double? RatedWatts)
{
    /// <summary>Rating over what it bears.</summary>
    public double? Safety => RatedWatts / MostWatts;
}

/// <summary>Capacitors or diodes of one kind.</summary>
/// <param name="Kind">For people, with its value.</param>
/// <param name="MostVolts">Across the one that has most (of a diode: in reverse), over all rows at rest.</param>
/// <param name="RatedVolts">The next usual rating that bears it twice over.</param>
public sealed record ListedOthers(string Kind, IReadOnlyList<string> Names, double MostVolts, double RatedVolts);

/// <summary>What a supply delivers.</summary>
/// <param name="Node">Of the rail.</param>
/// <param name="MostAmps">Largest of all rows, by magnitude.</param>
/// <param name="MostWatts">Largest delivered; below 0 when the rail only takes.</param>
public sealed record ListedRail(string Node, double Volts, double MostAmps, double MostWatts);

/// <summary>Everything that a build takes.</summary>
/// <param name="HeaterAmps">Of all heaters whose current is known.</param>
/// <param name="HeaterWatts">The same.</param>
/// <param name="HeatersUnknown">Places whose heater current is not known.</param>
public sealed record PartsList(
    IReadOnlyList<ListedTube> Tubes, IReadOnlyList<ListedResistors> Resistors, IReadOnlyList<ListedOthers> Capacitors, IReadOnlyList<ListedOthers> Diodes,
    IReadOnlyList<ListedRail> Rails, double HeaterAmps, double HeaterWatts, IReadOnlyList<string> HeatersUnknown)
{
    /// <summary>How many times what it bears a resistor is rated at least (common practice, no source).</summary>
    public const double SafetyFactor = 2;

    public static PartsList Of(BuildPlan plan, BuildTolerances tolerances)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(tolerances);
        return new PartsCount(plan, tolerances).List();
    }
}
