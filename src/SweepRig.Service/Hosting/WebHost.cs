using System.Net;
using Microsoft.AspNetCore.Connections;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Http.Connections;
using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Service.Api;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Service.Telemetry;

namespace SweepRig.Service.Hosting;

/// <summary>The web application of one bench: REST, hub, dashboard.</summary>
public static class WebHost
{
    /// <summary>What a connection may have waiting to be sent before its pump is held up; the feed's buffer counts what is skipped then.</summary>
    private const int SendBufferBytes = 65_536;

    /// <param name="options">What bench, where.</param>
    /// <param name="adjust">Changes the services last, for tests.</param>
    /// <exception cref="BenchStartException">The URL is not one of this machine alone.</exception>
    public static WebApplication Build(BenchOptions options, Action<IServiceCollection>? adjust = null)
    {
        var url = LoopbackUrl.Parse(options.Url);
        if (!url.IsAccepted) throw new BenchStartException(url.Refusals[0].ToString(), badInput: true);
        // An empty builder reads no settings from the surroundings, which could bind another address.
        var builder = WebApplication.CreateEmptyBuilder(new() { ApplicationName = "sweeprig", ContentRootPath = AppContext.BaseDirectory });
        builder.WebHost.UseKestrelCore().ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Listen(url.Value.Address, url.Value.Port);
        });
        builder.Logging.AddBenchConsole();
        builder.Services.AddSystemd();
        builder.Services.AddBench(options).AddBenchWeb().AddBenchTelemetry();
        adjust?.Invoke(builder.Services);

        var app = builder.Build();
        app.UseMiddleware<LoopbackGuard>();
        app.UseExceptionHandler(_ => { });
        app.UseStatusCodePages(context => Unanswered(context.HttpContext).ExecuteAsync(context.HttpContext));
        app.UseDashboard();
        app.MapOpenApi("/api/{documentName}.json");
        app.MapApiReference();
        app.MapVitals();
        app.UseBenchTelemetry();
        var api = app.MapGroup("/api");
        api.MapRigs();
        api.MapBench();
        api.MapPlans();
        api.MapRuns();
        api.MapEvents();
        api.MapAlarms();
        api.MapMorning();
        api.MapReports();
        api.MapFits();
        api.MapNextSweeps();
        api.MapFamilies();
        api.MapHealth();
        api.MapStudies();
        api.MapCalibrations();
        api.MapStock();
        api.MapStockPaper();
        api.MapStockReports();
        api.MapRound();
        api.MapNights();
        api.MapTypes();
        api.MapInterlocks();
        api.MapArchives();
        api.MapLots();
        api.MapTubes();
        api.MapExports();
        api.MapLogic();
        app.MapHub<BenchHub>(BenchHub.Path, hub =>
        {
            hub.Transports = HttpTransportType.WebSockets;
            hub.TransportMaxBufferSize = SendBufferBytes;
            hub.ApplicationMaxBufferSize = SendBufferBytes;
        });
        return app;
    }

    /// <summary>Starts what <see cref="Build"/> gave. Use this and not the application's own start, whose faults are many lines.</summary>
    /// <exception cref="BenchStartException">It cannot start; the message says why and what to do.</exception>
    public static async Task StartBenchAsync(this WebApplication app, CancellationToken cancellationToken)
    {
        try
        {
            await app.StartAsync(cancellationToken);
        }
        catch (IOException fault) when (fault.InnerException is AddressInUseException)
        {
            var url = app.Services.GetRequiredService<BenchOptions>().Url;
            throw new BenchStartException($"{url} is in use by another program. End that program, or choose another port with --url.", badInput: false, fault);
        }
        catch (IOException fault)
        {
            throw new BenchStartException(fault.Message, badInput: false, fault);
        }
    }

    /// <summary>Where a started application answers.</summary>
    public static string BoundUrl(this WebApplication app) => ServiceNote.UrlOf(app.Services.GetRequiredService<IServer>());

    private static JsonHttpResult<ProblemView> Unanswered(HttpContext context)
    {
        var code = context.Response.StatusCode;
        var asked = $"{context.Request.Method} {context.Request.Path}";
        return code == StatusCodes.Status404NotFound
            ? Problems.NotFound(asked, "See /api/openapi.json for what there is.")
            : Problems.Of(code, "bad-request", "Not answered", [new Refusal("bad-request", "", asked, $"status {code} ({(HttpStatusCode)code})", "See /api/openapi.json for what there is.")]);
    }
}
