using SweepRig.Storage;

namespace SweepRig.Service.Watching;

/// <summary>What watches the bench while nobody does.</summary>
public static class WatchServices
{
    /// <summary>To be added after what owns the data directory and before what starts the rig.</summary>
    public static IServiceCollection AddWatching(this IServiceCollection services)
    {
        services.AddSingleton<EventStore>();
        services.AddSingleton<Watch>();
        services.AddSingleton<IWatch>(provider => provider.GetRequiredService<Watch>());
        services.AddSingleton<HouseWatcher>();
        services.AddHostedService<WatchWorker>();
        return services;
    }
}
