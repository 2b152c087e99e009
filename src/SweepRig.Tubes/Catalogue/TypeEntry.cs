using SweepRig.Domain.Quantities;
using static SweepRig.Tubes.Catalogue.Confidence;
using static SweepRig.Tubes.Catalogue.RatingKind;
using static SweepRig.Tubes.Catalogue.RatingSystem;

namespace SweepRig.Tubes.Catalogue;

/// <summary>Short ways to write the tables of <see cref="PentodeTypes"/> and <see cref="OtherTypes"/>.</summary>
internal static class TypeEntry
{
    public static HeaterRating Heater(double volts, double amps) => new(new Volts(volts), new Amps(amps));

    public static Basing Pins(string code, string pins, Confidence confidence) => new(code, pins.Split(' '), confidence);

    public static IEnumerable<Rating> Plate(double volts, double watts, RatingSystem system, Confidence confidence) =>
        [new(PlateVoltage, volts, system, confidence), new(PlateDissipation, watts, system, confidence)];

    public static IEnumerable<Rating> Screen(double volts, double watts, RatingSystem system, Confidence confidence) =>
        [new(ScreenVoltage, volts, system, confidence), new(ScreenDissipation, watts, system, confidence)];

    public static IEnumerable<Rating> ScreenFromSupply(double volts, double watts, RatingSystem system, Confidence confidence) =>
        [new(ScreenSupply, volts, system, confidence), new(ScreenDissipation, watts, system, confidence)];

    public static Rating Cathode(double amps, RatingSystem system, Confidence confidence) => new(CathodeCurrent, amps, system, confidence);

    public static Rating HeaterCathode(double volts, RatingSystem system = NotStated, Confidence confidence = FromMemory) =>
        new(HeaterCathodeVoltage, volts, system, confidence);
}
