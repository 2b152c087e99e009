namespace SweepRig.Domain.Plans.Reading;

/// <summary>Electrodes that a family could be stepped on, had the rig a source for them: the link switches a heater and a plate rail, nothing else (firmware-notes/link-protocol.md, Supplies).</summary>
internal static class AbsentSources
{
    public static IReadOnlyDictionary<string, (string Because, string Remedy)> All { get; } = new Dictionary<string, (string, string)>(StringComparer.Ordinal)
    {
        ["screen"] = (
            "the rig has no source for the screen, which hangs on the plate rail through its resistor",
            "Step \"plateRail\", which moves the screen with it, or record the plan once with each of several screen resistors."),
        ["suppressor"] = (
            "the rig has no source for the suppressor, which is wired to the cathode",
            "Compare with the triode connection, where it is wired to the plate, or record the plan once with each of several batteries at the suppressor."),
        ["thirdGrid"] = (
            "the rig drives one grid and has no source for a third",
            "Record the plan once with each of several batteries at the third grid, named in the plan's name."),
    };
}
