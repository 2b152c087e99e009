namespace SweepRig.EndToEnd.Tests.Emulated.Rigs;

/// <summary>What the machine code is held to.</summary>
internal static class FirmwareTargets
{
    public const int FlashBytes = 8 * 1024;
    public const int StaticRamBytes = 1536;
    public const double SamplesPerSecond16 = 800;
    public const double SamplesPerSecond4 = 3_000;

    /// <summary>One conversion of 19 us and 200 us.</summary>
    public const double CeilingMicroseconds = 219;

    public const int LeaseMilliseconds = 300;

    /// <summary>Beyond the lease.</summary>
    public const double SilenceMilliseconds = 5;

    public const double HangMilliseconds = 150;
}
