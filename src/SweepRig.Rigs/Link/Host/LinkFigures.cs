using System.Globalization;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Link.Host;

/// <summary>Whole numbers of the link as a person reads them.</summary>
public static class LinkFigures
{
    /// <param name="field">The field that holds it.</param>
    /// <param name="value">The number as it travels.</param>
    /// <param name="drive">For DAC codes; null leaves them as codes.</param>
    public static string Format(FieldDeclaration field, long value, DriveScale? drive = null) => field.Unit switch
    {
        "uV" => Engineering.Format(value / 1e6, "V", 6),
        "nA" => Engineering.Format(value / 1e9, "A", 6),
        "us" => Engineering.Format(value / 1e6, "s", 6),
        "ms" => Engineering.Format(value / 1e3, "s", 6),
        "ohm" => Engineering.Format(value, "Ω", 6),
        "code" when drive is not null && field.Name is "ceiling" or "fromCode" or "toCode" =>
            string.Create(CultureInfo.InvariantCulture, $"code {value} ({Engineering.Format(drive!.ToVolts((int)value), "V")})"),
        "code" => string.Create(CultureInfo.InvariantCulture, $"code {value}"),
        "Hz" => string.Create(CultureInfo.InvariantCulture, $"{value} Hz"),
        _ => value.ToString(CultureInfo.InvariantCulture),
    };

    /// <summary>Words for a field, for example <c>plate rail</c>: the name taken apart at its capitals.</summary>
    public static string Words(FieldDeclaration field) =>
        string.Concat(field.Name.Select(c => char.IsUpper(c) ? $" {char.ToLowerInvariant(c)}" : c.ToString()));

    /// <summary>What a trip's figures are, by cause; null where the cause has none. The units are those of the table of causes in the specification.</summary>
    public static (string Quantity, string Unit, double Scale)? OfCause(TripCause cause) => cause switch
    {
        TripCause.DriveCeiling => ("drive", "V", 1e6),
        TripCause.GridCurrent => ("grid current", "A", 1e9),
        TripCause.CathodeCurrent => ("cathode current", "A", 1e9),
        TripCause.SupplyRange => ("plate rail", "V", 1e6),
        TripCause.DriveReadBack => ("drive read back", "V", 1e6),
        TripCause.PositiveTime => ("time above 0 V", "s", 1e3),
        TripCause.PositiveCharge => ("grid charge", "C", 1e6),
        _ => null,
    };

    /// <summary>For example <c>grid current 6.2 mA</c>; empty where the cause carries no figure.</summary>
    public static string Measured(TripCause cause, int value) =>
        OfCause(cause) is { } figure ? $"{figure.Quantity} {Engineering.Format(value / figure.Scale, figure.Unit)}" : "";

    /// <summary>For example <c>8 mA</c>; empty where the cause carries no figure.</summary>
    public static string Limit(TripCause cause, int value) =>
        OfCause(cause) is { } figure ? Engineering.Format(value / figure.Scale, figure.Unit) : "";
}
