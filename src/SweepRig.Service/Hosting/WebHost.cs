using SweepRig.Service.Api;
using SweepRig.Service.Live;

namespace SweepRig.Service.Hosting;

/// <summary>The web application of one bench: REST, hub, dashboard.</summary>
public static class WebHost
{
    /// <param name="options">What bench, where.</param>
    /// <param name="adjust">Changes the services last, for tests.</param>
    /// <exception cref="BenchStartException">The URL is not one of this machine alone.</exception>
    public static WebApplication Build(BenchOptions options, Action<IServiceCollection>? adjust = null)
    {
        var url = LoopbackUrl.Parse(options.Url);
        if (!url.IsAccepted) throw new BenchStartException(url.Refusals[0].ToString(), badInput: true);
        var builder = WebApplication.CreateSlimBuilder();
        builder.WebHost.ConfigureKestrel(kestrel => kestrel.Listen(url.Value.Address, url.Value.Port));
        builder.Services.AddBench(options).AddBenchWeb();
        adjust?.Invoke(builder.Services);

        var app = builder.Build();
        app.MapOpenApi("/api/{documentName}.json");
        var api = app.MapGroup("/api");
        api.MapBench();
        api.MapPlans();
        api.MapRuns();
        app.MapHub<BenchHub>(BenchHub.Path);
        return app;
    }
}
