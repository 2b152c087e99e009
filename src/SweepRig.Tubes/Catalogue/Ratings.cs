namespace SweepRig.Tubes.Catalogue;

/// <summary>What a limit value promises. The same tube may carry 300 V design-centre and 330 V design-maximum.</summary>
public enum RatingSystem
{
    /// <summary>The remembered table does not say; to be read as design-centre, the most careful of the three.</summary>
    NotStated,

    /// <summary>For a bogey tube; ordinary variations of supply and equipment have been allowed for by the maker (EIA RS-239-A, 1963).</summary>
    DesignCentre,

    /// <summary>For a bogey tube; the user keeps the worst case of the equipment inside (EIA RS-239-A, 1963).</summary>
    DesignMaximum,

    /// <summary>For no tube of the type and under no condition to be passed (EIA RS-239-A, 1963; IEC 60134).</summary>
    AbsoluteMaximum,
}

/// <summary>How far a catalogue value can be trusted. Nothing but the last replaces the maker's sheet.</summary>
public enum Confidence
{
    /// <summary>From memory of common tables, likely but not sure.</summary>
    FromMemory,

    /// <summary>From memory of common tables, with good reason to be sure.</summary>
    FromMemorySure,

    /// <summary>Read in a publicly stored text about the type, not in the maker's own sheet.</summary>
    SeenInSecondarySource,

    /// <summary>Read in the maker's own sheet.</summary>
    MakersSheet,
}

public enum RatingKind
{
    /// <summary>Unit: V.</summary>
    PlateVoltage,

    /// <summary>Unit: W, each section.</summary>
    PlateDissipation,

    /// <summary>At the electrode; grids 2 and 4 of a pentagrid. Unit: V.</summary>
    ScreenVoltage,

    /// <summary>Of the supply behind a dropping resistor. Unit: V.</summary>
    ScreenSupply,

    /// <summary>Unit: W.</summary>
    ScreenDissipation,

    /// <summary>Unit: A, each section.</summary>
    CathodeCurrent,

    /// <summary>Heater to cathode, either sign. Unit: V.</summary>
    HeaterCathodeVoltage,
}

/// <summary>One limit of a type.</summary>
/// <param name="Kind">What is limited, and the unit.</param>
/// <param name="Value">The limit in the unit of the kind.</param>
/// <param name="System">What the limit promises.</param>
/// <param name="Confidence">How far the number can be trusted.</param>
public sealed record Rating(RatingKind Kind, double Value, RatingSystem System, Confidence Confidence)
{
    /// <summary>The value in the unit that tables print.</summary>
    public double Shown => Kind == RatingKind.CathodeCurrent ? 1000 * Value : Value;

    /// <summary>The unit that tables print.</summary>
    public string Unit => TypeWords.UnitOf(Kind);
}
