namespace SweepRig.Analysis.Health;

/// <summary>The figures that a health report can hold, in its order.</summary>
public static class HealthQuantities
{
    /// <summary>Under the names of their items.</summary>
    public static IReadOnlyList<NamedQuantity> All { get; } =
    [
        .. new[]
        {
            Insulation.GridCathode, Insulation.GridOthers, Insulation.PlateCathode, Insulation.ScreenPlate, Emission.Continuity, Emission.Strength, Emission.Reserve,
            CathodeResistance.Topic, ReverseGridCurrent.Total, ReverseGridCurrent.Ohmic, ReverseGridCurrent.Ions, Warming.Time, Warming.Drift, Sounding.Noise, Sounding.Hum,
            Sounding.Microphony,
        }.Select(t => new NamedQuantity(t.Name, t.Unit, t.Title)),
    ];
}
