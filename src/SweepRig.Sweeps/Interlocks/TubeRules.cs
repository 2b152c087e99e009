using SweepRig.Domain.Interlocks;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>Rules on what a tube may bear and on tubes that go wrong.</summary>
public static class TubeRules
{
    public static InterlockRule GridDissipation { get; } = new(
        "grid-dissipation", "Grid 1 too hot",
        "A hot grid emits by itself, and the cathode's barium settles on it.",
        "Voltage at the pin times grid current, the mean of a block; trips on the third block in a row.",
        [TripCause.GridDissipation])
    {
        Limit = new(RuleUnit.Milliwatts, 100, 60, 1, 300, "few makers rate grid 1 of a small tube; the E88CC's 30 mW for continuous service is one (Philips, from memory), and passes here last seconds (common practice, no source)"),
    };

    public static InterlockRule ReverseGridCurrent { get; } = new(
        "reverse-grid-current", "Current out of grid 1",
        "A grid that touches the screen, a gassy tube or an emitting grid destroys itself once it is driven.",
        "Current out of grid 1 in a sweep, beyond what the calibration leaves unknown; trips on the third block in a row. A screening only measures it.",
        [TripCause.ReverseGridCurrent])
    {
        Limit = new(RuleUnit.Milliamperes, 0.5, 0.2, 0.02, 2, "a hundred times the 2 to 5 µA at which makers call a tube gassy (from memory): beyond it is a short or a runaway"),
    };

    public static InterlockRule PlateDissipation { get; } = new(
        "plate-dissipation", "Plate too hot for its type",
        "A plate that glows gives off gas.",
        "Plate voltage times plate current, the mean of a block, against the rating of the type as a bench keeps it; trips on the third block in a row. Plans that could are refused before.",
        [TripCause.PlateDissipation])
    {
        Limit = new(RuleUnit.Percent, 100, 80, 10, 100, "the type's rating (sweeprig types show), of which four fifths count where nobody compared it with the maker's sheet; unattended four fifths of that"),
    };

    public static InterlockRule ScreenDissipation { get; } = new(
        "screen-dissipation", "Screen too hot for its type",
        "The screen is fine wire too and glows before the plate does.",
        "Screen voltage times screen current, the mean of a block, against the rating of the type as a bench keeps it; trips on the third block in a row. Plans that could are refused before.",
        [TripCause.ScreenDissipation])
    {
        Limit = new(RuleUnit.Percent, 100, 100, 10, 100, "the type's rating (sweeprig types show), of which four fifths count where nobody compared it with the maker's sheet"),
    };

    public static InterlockRule Runaway { get; } = new(
        "runaway", "Current running away at constant drive",
        "Gas and grid emission feed themselves: more current, more heat, more gas, a dead tube.",
        "Cathode current at the highest drive of a warm sweep, looked at no oftener than once a second and with rail and heater unchanged: it trips when it rose by this much or more "
        + "four looks in a row and by 0.3 mA in all. A tube that settles rises by ever less and does not.",
        [TripCause.CurrentRunaway])
    {
        Limit = new(RuleUnit.Percent, 5, 3, 1, 20, "a warm oxide cathode drifts by well under 1 % in a second (common practice, no source); five times that, four times over, is no drift"),
    };

    public static InterlockRule WarmUp { get; } = new(
        "heater-warm-up", "Swept before the cathode is warm",
        "Plate voltage on a cathode that is too cold to have its space charge strips its coating.",
        "No sweep begins before the heater has been on this long; while one runs, a heater that is off, or on for less, trips.",
        [TripCause.HeaterCold])
    {
        Limit = new(RuleUnit.Seconds, 40, 40, 600, 10, "miniature tubes reach their current in 10 to 30 s (common practice, no source). A simulated heater may be faster, and then so is this"),
    };
}
