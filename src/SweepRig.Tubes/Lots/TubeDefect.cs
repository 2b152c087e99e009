using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Lots;

/// <summary>Something wrong with a tube, as the truth of a simulated lot. What a rig shows of it is another matter.</summary>
public abstract record TubeDefect
{
    private TubeDefect()
    {
    }

    /// <summary>The tube with this defect.</summary>
    public abstract Specimen Apply(Specimen tube);

    public sealed record OpenHeater : TubeDefect
    {
        public override Specimen Apply(Specimen tube) => tube with { Behaviour = tube.Behaviour with { HeaterOpen = true } };
    }

    /// <summary>A short or leak between two electrodes, cold and hot alike.</summary>
    public sealed record Path(Electrode A, Electrode B, double Ohms) : TubeDefect
    {
        public override Specimen Apply(Specimen tube) => tube with { Behaviour = tube.Behaviour with { Shunts = [.. tube.Behaviour.Shunts, new(A, B, Ohms)] } };
    }

    /// <param name="Ratio">Ion current over the current that passes grid 1.</param>
    public sealed record Gas(double Ratio) : TubeDefect
    {
        public override Specimen Apply(Specimen tube) => tube with { Parameters = tube.Parameters with { GasRatio = Ratio } };
    }

    /// <param name="Amps">Emission at rated heater voltage that is left.</param>
    public sealed record LowEmission(double Amps) : TubeDefect
    {
        public override Specimen Apply(Specimen tube) =>
            tube with { Parameters = Range(TubeAge.WithEmission(tube.Parameters, Amps / tube.Parameters.Emission)) };

        private static TubeParameters Range(TubeParameters p) => p with { GridOffset = Math.Clamp(p.GridOffset, -5, 5) };
    }

    public sealed record SlowWarmUp(double Factor) : TubeDefect
    {
        public override Specimen Apply(Specimen tube) => tube with { Behaviour = tube.Behaviour with { WarmUpFactor = Factor } };
    }

    public sealed record Drift(double Volts, double Seconds) : TubeDefect
    {
        public override Specimen Apply(Specimen tube) => tube with { Behaviour = tube.Behaviour with { WanderVolts = Volts, WanderSeconds = Seconds } };
    }

    public sealed record Rings(double VoltsPerTap, double Hertz, double DecaySeconds) : TubeDefect
    {
        public override Specimen Apply(Specimen tube) => tube with { Behaviour = tube.Behaviour with { Microphony = new(VoltsPerTap, Hertz, DecaySeconds) } };
    }

    public sealed record NoisyContact(double Ohms, double GoodSeconds, double BadSeconds) : TubeDefect
    {
        public override Specimen Apply(Specimen tube) => tube with { Behaviour = tube.Behaviour with { Contact = new(Ohms, GoodSeconds, BadSeconds) } };
    }

    public sealed record Interface(double Ohms, double Farads, double OhmsPerCutOffHour) : TubeDefect
    {
        public override Specimen Apply(Specimen tube) => tube with { Behaviour = tube.Behaviour with { Interface = new(Ohms, Farads, OhmsPerCutOffHour) } };
    }

    public sealed record Hum(double Volts) : TubeDefect
    {
        public override Specimen Apply(Specimen tube) => tube with { Behaviour = tube.Behaviour with { HumVolts = Volts } };
    }

    /// <summary>Loses emission while its grid is driven too far positive.</summary>
    public sealed record Poisons(Poisoning By) : TubeDefect
    {
        public override Specimen Apply(Specimen tube) => tube with { Behaviour = tube.Behaviour with { Poisoning = By } };
    }

    /// <summary>Is used up quickly.</summary>
    public sealed record Wears(Wear By) : TubeDefect
    {
        public override Specimen Apply(Specimen tube) => tube with { Behaviour = tube.Behaviour with { Wear = By } };
    }

    public sealed record SettlesSlowly(SlowSettling By) : TubeDefect
    {
        public override Specimen Apply(Specimen tube) => tube with { Behaviour = tube.Behaviour with { Settling = By } };
    }
}
