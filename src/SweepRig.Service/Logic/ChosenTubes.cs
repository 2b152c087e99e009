using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Stock;
using SweepRig.Domain.Tubes;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Logic;

/// <summary>A tube that a circuit was asked about.</summary>
/// <param name="Part">With its constants; leads are put in by whoever wires it.</param>
/// <param name="Swept">Connections of its sweeps; empty for the example tube.</param>
/// <param name="Doubt">What speaks against its fit.</param>
public sealed record ChosenTube(TubePart Part, IReadOnlyList<ConnectionKind> Swept, string? Doubt)
{
    private const string ExampleType = "6AU6";

    /// <summary>A sound tube out of the program, where none of the stock is named.</summary>
    public static ChosenTube Example(GateRails rails) =>
        new(new("V", "p", "s", "g", Network.Ground, new TubeModel(ExampleTubes.Sound6AU6, new Volts(rails.Heater))) { TypeName = ExampleType, HeaterVolts = rails.Heater, HeaterAmps = FittedTubes.HeaterAmps(TypeCatalogue.BuiltIn, ExampleType, rails.Heater) }, [], null);

    public static ChosenTube Of(FittedTube fitted)
    {
        ArgumentNullException.ThrowIfNull(fitted);
        var tube = fitted.Tube;
        return new(
            new("V", "p", "s", "g", Network.Ground, new TubeModel(tube.Constants, new Volts(tube.HeaterVolts)))
            {
                Number = tube.Number, TypeName = tube.TypeName, Range = tube.Range, HeaterVolts = tube.HeaterVolts, HeaterAmps = tube.HeaterAmps,
            },
            fitted.Swept, fitted.Doubt);
    }

    /// <summary>Why figures with it lean on more than its sweeps have shown; null when they do not.</summary>
    /// <param name="plate">Lowest plate voltage that it is asked at. Unit: V.</param>
    /// <param name="cathode">Highest cathode current. Unit: A.</param>
    public string? Marked(bool triode, double plate, double cathode)
    {
        if (Part.Number is null) return null;
        var kind = triode ? ConnectionKind.Triode : ConnectionKind.Pentode;
        if (!Swept.Contains(kind)) return $"it was swept in {string.Join(" and ", Swept.Select(s => s.ToString().ToLowerInvariant()))} connection only";
        return NetworkViewMaker.Outside(Part.Range, plate, cathode) ?? (Doubt is null ? null : $"its fit is doubtful: {Doubt}");
    }
}

/// <summary>Tubes that a circuit was asked about, and those that had to be left out.</summary>
public sealed record ChosenTubes(IReadOnlyList<ChosenTube> Tubes, IReadOnlyList<string> NotSwept)
{
    public IReadOnlyList<TubePart> Parts => [.. Tubes.Select(t => t.Part)];

    /// <summary>A number that was asked for twice, with the two places at which it stands.</summary>
    internal static IEnumerable<Refusal> Twice(IReadOnlyList<string?> numbers, IReadOnlyList<string> places)
    {
        var first = new Dictionary<string, int>(StringComparer.Ordinal);
        for (var n = 0; n < numbers.Count; n++)
        {
            if (Number(numbers[n]) is not { } number || first.TryAdd(number, n)) continue;
            yield return new("tube-twice", $"/tubes/{n}", $"tube {number} at {places[n]} and at {places[first[number]]}", "one tube can be plugged in at one place", "Name another tube at one of them.");
        }
    }

    /// <returns>Null for a place that was left empty.</returns>
    internal static string? Number(string? typed) => string.IsNullOrWhiteSpace(typed) ? null : TubeNumber.Of(typed).ToString();
}
