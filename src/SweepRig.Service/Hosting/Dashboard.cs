using Microsoft.Extensions.FileProviders;

namespace SweepRig.Service.Hosting;

/// <summary>The built dashboard, carried inside this assembly, so that it is there whatever directory the service is started from.</summary>
public static class Dashboard
{
    private const string Manifest = "Microsoft.Extensions.FileProviders.Embedded.Manifest.xml";

    /// <summary>False in a build with <c>-p:BuildDashboard=false</c>.</summary>
    public static bool IsIncluded { get; } = typeof(Dashboard).Assembly.GetManifestResourceNames().Contains(Manifest);

    public static void UseDashboard(this WebApplication app)
    {
        if (!IsIncluded)
        {
            app.MapGet("/", () => TypedResults.Text("This build of SweepRig has no dashboard. Build it with Node 20.19 or newer and without -p:BuildDashboard=false.\n"))
                .ExcludeFromDescription();
            return;
        }
        var files = new ManifestEmbeddedFileProvider(typeof(Dashboard).Assembly, "wwwroot");
        var options = new StaticFileOptions { FileProvider = files, OnPrepareResponse = r => r.Context.Response.Headers.CacheControl = CacheControlOf(r.File) };
        // Screens have addresses of their own within the page; the page finds out which one it is.
        app.Use((context, next) =>
        {
            if (IsScreen(context)) context.Request.Path = "/index.html";
            return next(context);
        });
        app.UseStaticFiles(options);
    }

    private static bool IsScreen(HttpContext context)
    {
        var path = context.Request.Path;
        return context.GetEndpoint() is null && (HttpMethods.IsGet(context.Request.Method) || HttpMethods.IsHead(context.Request.Method)) && !path.StartsWithSegments("/api") && !path.StartsWithSegments("/hub")
            && !System.IO.Path.HasExtension(path);
    }

    /// <summary>Files under assets/ carry a hash of their content in their name; the page itself must be asked for again each time.</summary>
    private static string CacheControlOf(IFileInfo file) => file.Name.EndsWith(".html", StringComparison.Ordinal) ? "no-cache" : "max-age=3600";
}
