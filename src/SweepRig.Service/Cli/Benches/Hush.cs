namespace SweepRig.Service.Cli.Benches;

/// <summary>Keeps the bench's log off the terminal while a command tells itself what happens; errors still come through.</summary>
public sealed class Hush
{
    private volatile bool _on = true;

    public void Over(IServiceCollection services) => services.Configure<LoggerFilterOptions>(options =>
    {
        options.Rules.Add(new(null, "SweepRig.Rigs", LogLevel.Warning, (_, _, level) => !_on || level >= LogLevel.Error));
        options.Rules.Add(new(null, "SweepRig.Sweeps", LogLevel.Information, (_, _, level) => !_on || level >= LogLevel.Error));
    });

    public void End() => _on = false;
}
