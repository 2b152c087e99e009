using SweepRig.Domain.Runs;
using SweepRig.Service.Api;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Hosting;

/// <summary>Puts one bench together.</summary>
public static class BenchServices
{
    public static IServiceCollection AddBench(this IServiceCollection services, BenchOptions options)
    {
        services.AddSingleton(options);
        services.AddSingleton(TimeProvider.System);
        // The container makes things synchronously; this happens once, at the start, with no context to deadlock on.
        services.AddSingleton(provider => RunStore.OpenAsync(
            options.DataDirectory, provider.GetRequiredService<TimeProvider>(), provider.GetRequiredService<ILogger<RunStore>>(), CancellationToken.None)
            .GetAwaiter().GetResult());
        services.AddSingleton<IRunRecorder>(provider => provider.GetRequiredService<RunStore>());
        services.AddHostedService<DirectoryOwner>();
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
        services.AddSignalR().AddMessagePackProtocol().AddJsonProtocol(json => ApiJson.Apply(json.PayloadSerializerOptions));
        services.AddSingleton<RunHeaders>();
        services.AddSingleton<ViewerPumps>();
        services.AddHostedService<ServiceNote>();
        return services;
    }
}
