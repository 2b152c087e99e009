namespace SweepRig.Sweeps.Interlocks;

/// <summary>What the rules remember from block to block. Small and immutable; each pass begins anew with what outlives one.</summary>
public sealed record BlockMemory
{
    public static BlockMemory None { get; } = new();

    /// <summary>Time and charge above 0 V.</summary>
    public Exposure Exposure { get; init; } = Exposure.None;

    /// <summary>Current at the highest drive, from look to look.</summary>
    public Climb Climb { get; init; } = Climb.None;

    /// <summary>Blocks in a row that broke a limit which acts on several.</summary>
    public int ReadBackBlocks { get; init; }

    public int ReverseBlocks { get; init; }

    public int GridHotBlocks { get; init; }

    public int PlateHotBlocks { get; init; }

    public int ScreenHotBlocks { get; init; }

    /// <summary>Samples in a row with a conversion at the end of a range.</summary>
    public int ClippedSamples { get; init; }

    public Stillness Grid { get; init; } = Stillness.None;

    public Stillness Plate { get; init; } = Stillness.None;

    public Stillness Screen { get; init; } = Stillness.None;

    public Stillness ReadBack { get; init; } = Stillness.None;

    /// <summary>Supplies of the pass, volts; NaN while off.</summary>
    public (double Rail, double Heater) Supplies { get; init; } = (double.NaN, double.NaN);

    /// <summary>For the next pass: what the minute counted stays, and the climb while rail and heater stay.</summary>
    public BlockMemory For(PassFacts pass)
    {
        var supplies = (pass.RailVolts, pass.HeaterVolts);
        return new() { Exposure = Exposure.ForNextPass(), Supplies = supplies, Climb = supplies.Equals(Supplies) ? Climb : Climb.None };
    }

    /// <summary>Once a run has ended, what the minute counted alone.</summary>
    public BlockMemory ForNextRun() => Equals(None) ? this : new() { Exposure = Exposure.ForNextPass() };
}

/// <summary>A channel that gives one code, and the drive that has passed meanwhile.</summary>
/// <param name="Code">Stored code; -1 for none.</param>
/// <param name="LowestDrive">Volts.</param>
/// <param name="HighestDrive">Volts.</param>
public readonly record struct Stillness(int Code, double LowestDrive, double HighestDrive)
{
    public static Stillness None { get; } = new(-1, double.NaN, double.NaN);

    /// <summary>NaN for none, which reaches no limit.</summary>
    public double MovedVolts => HighestDrive - LowestDrive;

    /// <param name="code">The one code of the whole block; -1 where it had several or says nothing.</param>
    public Stillness With(int code, double lowestDrive, double highestDrive) =>
        code < 0 ? None
        : code != Code ? new(code, lowestDrive, highestDrive)
        : new(code, Math.Min(LowestDrive, lowestDrive), Math.Max(HighestDrive, highestDrive));
}

/// <summary>Cathode current at the highest drive so far, looked at once a second at most.</summary>
/// <param name="Drive">Volts; NaN before the first look.</param>
/// <param name="BaseAmps">Where the climb began.</param>
/// <param name="LastAmps">At the last look.</param>
/// <param name="LastSeconds">Rig clock of the last look.</param>
/// <param name="Rises">Looks in a row that found more by at least the limit.</param>
public readonly record struct Climb(double Drive, double BaseAmps, double LastAmps, double LastSeconds, int Rises)
{
    /// <summary>Looks in a row that make a runaway.</summary>
    public const int Enough = 4;

    /// <summary>What it must have risen by in all; below that noise and drift of small currents play.</summary>
    public const double EnoughAmps = 0.3e-3;

    private const double LookSeconds = 1;
    private const double SameDriveVolts = 0.02;

    public static Climb None { get; } = new(double.NaN, 0, 0, 0, 0);

    public bool IsRunaway => Rises >= Enough && LastAmps - BaseAmps >= EnoughAmps;

    /// <param name="rise">Part of the current that counts as a rise.</param>
    public Climb With(double drive, double amps, double rigSeconds, double rise)
    {
        if (double.IsNaN(amps) || drive < Drive - SameDriveVolts) return this;
        if (!(drive <= Drive + SameDriveVolts) || rigSeconds < LastSeconds) return new(drive, amps, amps, rigSeconds, 0);
        if (rigSeconds - LastSeconds < LookSeconds) return this;
        return amps > LastAmps * (1 + rise)
            ? this with { LastAmps = amps, LastSeconds = rigSeconds, Rises = Rises + 1 }
            : new(drive, amps, amps, rigSeconds, 0);
    }
}
