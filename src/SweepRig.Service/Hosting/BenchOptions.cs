namespace SweepRig.Service.Hosting;

/// <summary>How one bench is put together.</summary>
public sealed record BenchOptions
{
    public const string DefaultUrl = "http://127.0.0.1:5240";

    /// <summary>Time a real cathode is given. Common practice, no source: 10 to 30 s for a miniature tube, with a margin.</summary>
    public static TimeSpan RealWarmUp { get; } = TimeSpan.FromSeconds(40);

    /// <summary>Where runs are kept. Made when missing.</summary>
    public required string DataDirectory { get; init; }

    /// <summary>Serial port of the rig, for example <c>/dev/ttyUSB0</c>; null for the simulated rig in this process.</summary>
    public string? Port { get; init; }

    /// <summary>Rate of the serial port, in baud. Default 1,000,000.</summary>
    public int Baud { get; init; } = 1_000_000;

    /// <summary>Where the dashboard is served; a loopback address. Port 0 takes any free one.</summary>
    public string Url { get; init; } = DefaultUrl;

    /// <summary>How much faster than life a simulated heater warms, 1 to 1000. Null: 10 for the simulated rig of this process, 1 for a port.</summary>
    public double? HeaterSpeed { get; init; }

    /// <summary>Seed of everything random in the simulated rig.</summary>
    public int Seed { get; init; } = 1;

    /// <summary>Time a heater must have been on before a sweep; null derives it from <see cref="RealWarmUp"/> and <see cref="HeaterSpeed"/>.</summary>
    public TimeSpan? WarmAfter { get; init; }

    public double EffectiveHeaterSpeed => HeaterSpeed ?? (Port is null ? 10 : 1);

    public TimeSpan EffectiveWarmAfter => WarmAfter ?? RealWarmUp / EffectiveHeaterSpeed;
}
