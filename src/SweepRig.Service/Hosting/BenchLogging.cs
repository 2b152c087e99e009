using Microsoft.Extensions.Logging.Console;

namespace SweepRig.Service.Hosting;

/// <summary>Quiet by default: warnings, and what the bench itself reports of permits and trips. One line each, on standard error.</summary>
public static class BenchLogging
{
    public static ILoggingBuilder AddBenchConsole(this ILoggingBuilder logging)
    {
        logging.SetMinimumLevel(LogLevel.Warning);
        logging.AddFilter("SweepRig.Sweeps", LogLevel.Information);
        logging.AddFilter("SweepRig.Service.Vitals", LogLevel.Information);
        // A request that this service refuses or fails is reported by the service itself, once.
        logging.AddFilter("Microsoft.AspNetCore.Diagnostics.ExceptionHandlerMiddleware", LogLevel.None);
        logging.AddFilter("Microsoft.Hosting.Lifetime", LogLevel.Warning);
        // A failed start is told by whoever started it, in one line.
        logging.AddFilter("Microsoft.Extensions.Hosting.Internal.Host", LogLevel.Critical);
        logging.AddSimpleConsole(console =>
        {
            console.SingleLine = true;
            console.TimestampFormat = "HH:mm:ss ";
            console.ColorBehavior = Console.IsErrorRedirected ? LoggerColorBehavior.Disabled : LoggerColorBehavior.Default;
        });
        logging.Services.Configure<ConsoleLoggerOptions>(console => console.LogToStandardErrorThreshold = LogLevel.Trace);
        return logging;
    }
}
