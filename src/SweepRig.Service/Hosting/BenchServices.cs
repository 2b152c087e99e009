using System.Reflection;
using SweepRig.Domain.Runs;
using SweepRig.Service.Api;
using SweepRig.Service.Calibrations;
using SweepRig.Service.Doctor;
using SweepRig.Service.Fits;
using SweepRig.Service.Interlocks;
using SweepRig.Service.Live;
using SweepRig.Service.Logic;
using SweepRig.Service.Stations;
using SweepRig.Service.Stock;
using SweepRig.Service.Types;
using SweepRig.Service.Vitals;
using SweepRig.Service.Watching;
using SweepRig.Storage;

namespace SweepRig.Service.Hosting;

/// <summary>Puts one bench together.</summary>
public static class BenchServices
{
    /// <summary>Time for a pass under way to be ended and recorded, and for connections to close.</summary>
    private static readonly TimeSpan ShutdownLimit = TimeSpan.FromSeconds(8);

    /// <summary>Version of this program, as it is written into every run.</summary>
    public static string SoftwareVersion { get; } =
        typeof(BenchServices).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion.Split('+')[0] ?? "unknown";

    /// <summary>Rigs, run store and runners. Everything starts and stops with the host.</summary>
    /// <exception cref="BenchStartException">A value of the options is out of its range.</exception>
    public static IServiceCollection AddBench(this IServiceCollection services, BenchOptions options)
    {
        options.ThrowIfBad();
        services.AddSingleton(options);
        services.AddSingleton(UserTypes.ReadForBench(options.DataDirectory));
        services.AddSingleton(BenchRuleFile.ReadForBench(options.DataDirectory));
        services.AddSingleton(TimeProvider.System);
        services.Configure<HostOptions>(host => host.ShutdownTimeout = ShutdownLimit);
        // The container makes things synchronously; this happens once, at the start, with no context to deadlock on.
        services.AddSingleton(provider => RunStore.OpenAsync(
            options.Store, provider.GetRequiredService<TimeProvider>(), provider.GetRequiredService<ILogger<RunStore>>(), CancellationToken.None)
            .GetAwaiter().GetResult());
        services.AddSingleton<IRunRecorder>(provider => provider.GetRequiredService<RunStore>());
        services.AddSingleton<CalibrationStore>();
        services.AddSingleton<StockStore>();
        services.AddSingleton<NightStore>();
        services.AddSingleton<CalibrationShelf>();
        services.AddSingleton(new CalibrationRules(options.CalibrationValidity));
        services.AddHostedService<DirectoryOwner>();
        services.AddSingleton<Workbench>();
        services.AddSingleton<FigureShelf>();
        services.AddSingleton<FittedTubes>();
        services.AddSingleton<LogicTubes>();
        services.AddSingleton<LogicDesk>();
        services.AddSingleton<LogicProgress>();
        services.AddSingleton<AdaptiveChooser>();
        services.AddSingleton<StationMaker>();
        services.AddSingleton(provider => provider.GetRequiredService<StationMaker>().MakeAll());
        // Who asks for one of these without naming a rig means the first.
        services.AddSingleton(provider => provider.GetRequiredService<StationList>().Default.Runner);
        services.AddSingleton(provider => provider.GetRequiredService<StationList>().Default.Calibration);
        services.AddSingleton(provider => provider.GetRequiredService<StationList>().Default.Round);
        services.AddWatching();
        services.AddSingleton<SafeForAll>();
        services.AddHostedService<BenchWorker>();
        return services;
    }

    /// <summary>REST, hub and API document of the bench.</summary>
    public static IServiceCollection AddBenchWeb(this IServiceCollection services)
    {
        services.AddRouting();
        services.AddProblemDetails();
        services.AddExceptionHandler<FaultAnswers>();
        services.Configure<RouteHandlerOptions>(routes => routes.ThrowOnBadRequest = true);
        services.ConfigureHttpJsonOptions(json => ApiJson.Apply(json.SerializerOptions));
        services.AddOpenApi(ApiDocument.Name, ApiDocument.Describe);
        services.AddSignalR(hub => hub.KeepAliveInterval = BenchHub.KeepAlive).AddMessagePackProtocol().AddJsonProtocol(json => ApiJson.Apply(json.PayloadSerializerOptions));
        services.AddSingleton<RunHeaders>();
        services.AddSingleton<ViewerPumps>();
        services.AddSingleton<ProcessStart>();
        services.AddSingleton<RigsWatch>();
        services.AddHostedService(provider => provider.GetRequiredService<RigsWatch>());
        services.AddHostedService<ServiceNote>();
        services.AddSingleton<IMachine, LinuxMachine>();
        services.AddSingleton(provider => Pulse.Of(provider));
        services.AddHostedService(provider => provider.GetRequiredService<Pulse>());
        services.AddSingleton<Readiness>();
        return services;
    }
}
