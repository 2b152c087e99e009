using OpenTelemetry.Metrics;
using OpenTelemetry.Resources;
using OpenTelemetry.Trace;
using SweepRig.Rigs.Link;
using SweepRig.Service.Hosting;
using SweepRig.Service.Watching;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Telemetry;

/// <summary>
/// Metrics for Prometheus at <see cref="Path"/>, behind the same guard as all else, and traces of runs to a collector, if there is one: where it is says
/// OTEL_EXPORTER_OTLP_ENDPOINT (OpenTelemetry, "Environment Variable Specification"); without it no trace is made.
/// </summary>
public static class TelemetryServices
{
    public const string Path = "/metrics";

    private const string Collector = "OTEL_EXPORTER_OTLP_ENDPOINT", TraceCollector = "OTEL_EXPORTER_OTLP_TRACES_ENDPOINT";

    public static IServiceCollection AddBenchTelemetry(this IServiceCollection services)
    {
        services.AddSingleton<BenchTelemetry>();
        services.AddSingleton<IEventListener, EventTelemetry>();
        var telemetry = services.AddOpenTelemetry()
            .ConfigureResource(resource => resource.AddService("sweeprig", serviceVersion: BenchServices.SoftwareVersion))
            .WithMetrics(metrics => metrics
                .AddMeter(BenchTelemetry.Name, SweepTelemetry.Name, LinkTelemetry.Name)
                // Of the runtime and of Kestrel, as .NET names them.
                .AddMeter("System.Runtime", "Microsoft.AspNetCore.Server.Kestrel")
                .AddPrometheusExporter());
        if (IsSet(Collector) || IsSet(TraceCollector)) telemetry.WithTracing(traces => traces.AddSource(SweepTelemetry.Name).AddOtlpExporter());
        return services;
    }

    public static void UseBenchTelemetry(this WebApplication app)
    {
        // Made now, so that it counts from the start.
        app.Services.GetRequiredService<BenchTelemetry>();
        app.MapPrometheusScrapingEndpoint(Path);
    }

    private static bool IsSet(string variable) => Environment.GetEnvironmentVariable(variable) is { Length: > 0 };
}
