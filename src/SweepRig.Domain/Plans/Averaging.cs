namespace SweepRig.Domain.Plans;

/// <summary>How raw conversions become one sample.</summary>
public abstract record Averaging
{
    private Averaging()
    {
    }

    /// <summary>A plain mean of <paramref name="Conversions"/> conversions of each channel, 1 to 256.</summary>
    public sealed record Count(int Conversions) : Averaging;

    /// <summary>A mean over <paramref name="Periods"/> whole periods of <paramref name="Hertz"/> (50 or 60) mains, so that hum cancels; 1 to 50.</summary>
    public sealed record MainsPeriods(int Periods, int Hertz) : Averaging;
}
