using static SweepRig.Tubes.Lots.Electrode;

namespace SweepRig.Tubes.Lots;

/// <summary>A kind of defect by name.</summary>
/// <param name="Name">Kebab-case, for the command line.</param>
/// <param name="Explains">One line for people.</param>
/// <param name="ShowsHere">Whether a rig with grid, screen, plate, supply and drive channels and the cathode at 0 V can see it; false where it has nothing to see it with.</param>
public sealed record DefectKind(string Name, string Explains, bool ShowsHere)
{
    internal Func<LotRandom, TubeDefect> DrawOne { get; init; } = _ => new TubeDefect.OpenHeater();

    /// <summary>A defect of this kind, of a severity that the seed decides.</summary>
    public TubeDefect Draw(int seed) => DrawOne(new(seed));
}

/// <summary>The kinds, with the severities that lots draw: from clearly there to bad (illustrative, no source, but for the interface).</summary>
public static class DefectKinds
{
    /// <summary>Those that a screening looks for, and that lots have.</summary>
    public static IReadOnlyList<DefectKind> All { get; } =
    [
        new("open-heater", "the heater is broken; the cathode stays cold", true) { DrawOne = _ => new TubeDefect.OpenHeater() },
        new("short-g1-k", "grid 1 touches the cathode", true) { DrawOne = r => Short(Grid, Cathode, r) },
        new("short-g1-g2", "grid 1 touches the screen", true) { DrawOne = r => Short(Grid, Screen, r) },
        new("short-g2-p", "the screen touches the plate", true) { DrawOne = r => Short(Screen, Plate, r) },
        new("short-h-k", "the heater touches the cathode", false) { DrawOne = r => Short(Heater, Cathode, r) },
        new("leakage", "grid 1 leaks to the screen", true) { DrawOne = r => new TubeDefect.Path(Grid, Screen, r.LogUniform(0.5e6, 5e6)) },
        new("gas", "residual gas: ions flow to grid 1", true) { DrawOne = r => new TubeDefect.Gas(r.LogUniform(3e-3, 2e-2)) },
        new("low-emission", "the cathode is worn", true) { DrawOne = r => new TubeDefect.LowEmission(r.LogUniform(1e-3, 5e-3)) },
        new("slow-warm-up", "the cathode warms slowly", true) { DrawOne = r => new TubeDefect.SlowWarmUp(r.Uniform(2.5, 4)) },
        new("drift", "the current wanders in the first minutes", true) { DrawOne = r => new TubeDefect.Drift(r.Uniform(0.025, 0.05), r.Uniform(20, 40)) },
        new("microphony", "a tap makes the electrodes ring", true) { DrawOne = r => new TubeDefect.Rings(r.LogUniform(0.015, 0.06), r.Uniform(250, 900), r.Uniform(0.1, 0.4)) },
        new("noisy-contact", "the cathode pin touches its socket badly", true) { DrawOne = r => new TubeDefect.NoisyContact(r.LogUniform(60, 300), r.Uniform(0.2, 0.6), r.Uniform(0.02, 0.1)) },
        new("cathode-interface", "a layer in the cathode resists direct current and grows at cut-off", true) { DrawOne = r => new TubeDefect.Interface(r.LogUniform(600, 3_000), r.Uniform(0.003e-6, 0.01e-6), 0.5) },
        new("hum", "the heater puts mains frequency on the grid", true) { DrawOne = r => new TubeDefect.Hum(r.LogUniform(6e-3, 20e-3)) },
    ];

    /// <summary>Those that show only over hours, or under positive drive; lots have none of them unless asked for.</summary>
    public static IReadOnlyList<DefectKind> Slow { get; } =
    [
        new("poisons", "the cathode loses emission where the grid is driven far positive", true) { DrawOne = r => new TubeDefect.Poisons(new(r.LogUniform(0.1e-3, 0.4e-3), r.LogUniform(0.05e-3, 0.15e-3), r.Uniform(0.3, 0.8), r.Uniform(20, 60))) },
        new("wears-out", "the emission falls within hours, and with each switching on", true) { DrawOne = r => new TubeDefect.Wears(new(r.LogUniform(10, 40), r.LogUniform(0.01, 0.04))) },
        new("heater-breaks", "the heater breaks after some switchings on", true) { DrawOne = r => new TubeDefect.Wears(new(8_000, 1e-4, 4 + r.Below(8))) },
        new("settles-slowly", "the current takes hours to come to rest", true) { DrawOne = r => new TubeDefect.SettlesSlowly(new(r.Uniform(0.05, 0.12), r.Uniform(1_200, 3_600))) },
    ];

    /// <summary>The kind of that name; none when unknown.</summary>
    public static DefectKind? Find(string name) => All.Concat(Slow).FirstOrDefault(k => string.Equals(k.Name, name, StringComparison.OrdinalIgnoreCase));

    private static TubeDefect.Path Short(Electrode a, Electrode b, LotRandom random) => new(a, b, random.LogUniform(5, 500));
}
