namespace SweepRig.Rigs.Tests.Wiring;

/// <summary>
/// Shapes of the symbols, in grid units, for a part that lies from (0, 0) to (4, 0); a part that stands is turned. Resistor as a box and the rest
/// after IEC 60617, drawn from memory.
/// </summary>
internal static class Glyphs
{
    /// <summary>Length of every part with two ends.</summary>
    public const double Length = 4;

    /// <summary>Path of a part with two ends, or null for a kind that there is not.</summary>
    public static string? TwoEnded(string kind) => kind switch
    {
        "resistor" => "M0 0H0.6M3.4 0H4M0.6 -0.55H3.4V0.55H0.6Z",
        "capacitor" => "M0 0H1.75M2.25 0H4M1.75 -0.9V0.9M2.25 -0.9V0.9",
        "diode" => "M0 0H4M1.3 -0.8L2.7 0L1.3 0.8ZM2.7 -0.8V0.8",
        "zener" => "M0 0H4M1.3 -0.8L2.7 0L1.3 0.8ZM2.3 -0.8H2.7V0.8H3.1",
        "fuse" => "M0 0H4M0.6 -0.45H3.4V0.45H0.6Z",
        "contact" => "M0 0H1L3.15 -0.45M3 -0.7V0H4",
        "link" => "M0 0H1.2M2.8 0H4M1.2 -0.3V0.3M2.8 -0.3V0.3M1.2 -0.3A0.3 0.3 0 0 1 1.2 0.3M2.8 -0.3A0.3 0.3 0 0 0 2.8 0.3",
        "coil" => "M0 0H0.8M3.2 0H4M0.8 -0.9H3.2V0.9H0.8ZM1.6 0.9L2.4 -0.9",
        _ => null,
    };

    /// <summary>Enhancement MOSFET, source at (0, 0), drain at (4, 0), gate at (2, 4): P channel lying, as a high-side switch.</summary>
    public const string HighSideSwitch = "M0 0H1V1.6M4 0H3V1.6M0.6 1.6H1.4M1.6 1.6H2.4M2.6 1.6H3.4M0.6 2.2H3.4M2 2.2V4M2 1.6V0.8H1M1.7 0.95L2 1.5L2.3 0.95";

    /// <summary>Enhancement MOSFET, drain at (0, 0), source at (0, 4), gate at (-3, 2): N channel standing, as a low-side switch.</summary>
    public const string LowSideSwitch = "M0 0V1H-1.4M0 4V3H-1.4M-1.4 0.6V1.4M-1.4 1.6V2.4M-1.4 2.6V3.4M-2 0.6V3.4M-2 2H-3M-1.4 2H0V3M-0.85 1.7L-1.3 2L-0.85 2.3";

    /// <summary>Amplifier with its + input at (0, 2), - input at (0, 6), output at (7, 4).</summary>
    public const string Amplifier = "M0 0V8L7 4ZM0.5 2H1.3M0.9 1.6V2.4M0.5 6H1.3";

    /// <summary>Changeover contact: front (0, 0), rest (1, -4), arm at (4, 0) lying at rest.</summary>
    public const string Changeover = "M0 0H1.2M1 -4V-1.2H1.4M4 0H3.6L1.35 -1.05";

    public const string Ground = "M0 0V0.8M-1 0.8H1M-0.6 1.2H0.6M-0.2 1.6H0.2";
    public const string RailAbove = "M0 0V-0.6M-0.9 -0.6H0.9";
    public const string RailBelow = "M0 0V0.6M-0.9 0.6H0.9";
}
