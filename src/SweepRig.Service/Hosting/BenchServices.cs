using SweepRig.Service.Api;

namespace SweepRig.Service.Hosting;

/// <summary>Puts one bench together.</summary>
public static class BenchServices
{
    public static IServiceCollection AddBench(this IServiceCollection services, BenchOptions options)
    {
        services.AddSingleton(options);
        services.AddSingleton(TimeProvider.System);
        return services;
    }

    /// <summary>REST, hub and API document.</summary>
    public static IServiceCollection AddBenchWeb(this IServiceCollection services)
    {
        services.ConfigureHttpJsonOptions(json => ApiJson.Apply(json.SerializerOptions));
        services.AddOpenApi(ApiDocument.Name, ApiDocument.Describe);
        services.AddSignalR().AddMessagePackProtocol().AddJsonProtocol(json => ApiJson.Apply(json.PayloadSerializerOptions));
        return services;
    }
}
