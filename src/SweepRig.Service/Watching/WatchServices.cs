using SweepRig.Service.Hosting;
using SweepRig.Service.Mornings;
using SweepRig.Service.Watching.Alarms;
using SweepRig.Storage;

namespace SweepRig.Service.Watching;

/// <summary>What watches the bench while nobody does.</summary>
public static class WatchServices
{
    /// <summary>To be added after what owns the data directory and before what starts the rig.</summary>
    public static IServiceCollection AddWatching(this IServiceCollection services)
    {
        services.AddSingleton<EventStore>();
        services.AddSingleton<AlarmSenders>();
        services.AddSingleton(provider =>
        {
            var directory = provider.GetRequiredService<BenchOptions>().DataDirectory;
            var journal = new AlarmJournal(directory, provider.GetRequiredService<ILogger<AlarmJournal>>());
            // The watch hears of alarms that could not be delivered, and the alarms of what the watch hears.
            var file = new AlarmFile(directory);
            return new AlarmDesk(file.Read(), file.ReadIfChanged, journal, provider.GetRequiredService<AlarmSenders>().SendAsync, provider.GetRequiredService<IWatch>, provider.GetRequiredService<TimeProvider>());
        });
        services.AddSingleton<IEventListener>(provider => provider.GetRequiredService<AlarmDesk>());
        services.AddSingleton<Watch>();
        services.AddSingleton<IWatch>(provider => provider.GetRequiredService<Watch>());
        services.AddSingleton<HouseWatcher>();
        services.AddSingleton<DriftWatch>();
        services.AddHostedService<WatchWorker>();
        services.AddSingleton<NightEnds>();
        services.AddSingleton<IEventListener>(provider => provider.GetRequiredService<NightEnds>());
        services.AddSingleton<MorningReader>();
        services.AddSingleton<MorningDesk>();
        services.AddHostedService(provider => provider.GetRequiredService<MorningDesk>());
        return services;
    }
}
