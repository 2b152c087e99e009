namespace SweepRig.Service.Cli;

/// <summary>What a command tells the shell.</summary>
public static class ExitCode
{
    public const int Good = 0;

    /// <summary>No service, a port or disk that fails, an end by Ctrl+C before the work was done.</summary>
    public const int Failed = 1;

    /// <summary>Another argument mends it.</summary>
    public const int BadInput = 2;

    /// <summary>The bench refused what was asked, or a sweep tripped.</summary>
    public const int Refused = 3;
}
