using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Logging;
using SweepRig.Service.Api;

namespace SweepRig.Service.Hosting;

/// <summary>
/// Keeps pages from elsewhere, open in the same browser, from reading or driving the rig. Being bound to loopback does not: such a page reaches
/// loopback as well, by a cross-site request, or by a name of its own that it makes resolve to 127.0.0.1 (DNS rebinding). So every request, the
/// hub's WebSocket included, must name this service as its host, and, where a browser says where it comes from, come from this service's own pages.
/// </summary>
public sealed class LoopbackGuard(RequestDelegate next, ILogger<LoopbackGuard> logger)
{
    private static readonly string[] OwnNames = ["localhost", "127.0.0.1", "[::1]"];

    public async Task InvokeAsync(HttpContext context)
    {
        SetHeaders(context);
        if (Fault(context) is not { } fault)
        {
            await next(context);
            return;
        }
        logger.LogWarning(LogEvents.RequestRefused, "Refused {Method} {Path}: {Fault}", context.Request.Method, context.Request.Path, fault.Refusal.Asked);
        await Problems.Of(fault.Status, fault.Kind, "Refused", [fault.Refusal]).ExecuteAsync(context);
    }

    private static (int Status, string Kind, Refusal Refusal)? Fault(HttpContext context)
    {
        var request = context.Request;
        var port = context.Connection.LocalPort;
        if (!IsOwnHost(request.Host, port))
        {
            return (StatusCodes.Status421MisdirectedRequest, "foreign-host", new(
                "foreign-host", "", $"host \"{request.Host}\"", $"this service answers as localhost:{port} or 127.0.0.1:{port} only", $"Open http://localhost:{port}/."));
        }
        if (ForeignOrigin(request) is { } origin)
        {
            return (StatusCodes.Status403Forbidden, "foreign-origin", new(
                "foreign-origin", "", $"a request from {origin}", "only this service's own pages and programs of this machine are answered", $"Open http://{request.Host}/ itself."));
        }
        if (HasBody(request) && !request.HasJsonContentType() && !IsArchive(request))
        {
            return (StatusCodes.Status415UnsupportedMediaType, "not-json", new(
                "not-json", "", $"content type \"{request.ContentType}\"", "a body must be application/json", "Set the header Content-Type: application/json."));
        }
        return null;
    }

    private static bool IsOwnHost(HostString host, int port) =>
        (host.Port ?? 80) == port && OwnNames.Contains(host.Host, StringComparer.OrdinalIgnoreCase);

    /// <summary>Where a browser says the request comes from, when that is not here; null when it is, or when nobody says.</summary>
    private static string? ForeignOrigin(HttpRequest request)
    {
        var origins = request.Headers.Origin;
        var own = string.Create(CultureInfo.InvariantCulture, $"{request.Scheme}://{request.Host}");
        if (origins.Count > 0 && !(origins.Count == 1 && string.Equals(origins[0], own, StringComparison.OrdinalIgnoreCase))) return $"\"{origins}\"";

        // Fetch Metadata tells of requests that carry no Origin: images, scripts and frames of other sites. A link that a person follows is let in.
        var site = request.Headers["Sec-Fetch-Site"].ToString();
        var followedLink = HttpMethods.IsGet(request.Method) && request.Headers["Sec-Fetch-Mode"] == "navigate" && request.Headers["Sec-Fetch-Dest"] == "document";
        return site is "" or "same-origin" or "none" || followedLink ? null : $"another site (Sec-Fetch-Site: {site})";
    }

    private static bool HasBody(HttpRequest request) =>
        request.ContentLength is > 0 || (request.ContentLength is null && request.Headers.TransferEncoding.Count > 0);

    // Like JSON a type that no form of another site can send without being asked first (Fetch standard, "CORS-safelisted request-header").
    private static bool IsArchive(HttpRequest request) =>
        request.Path.Equals(ArchiveEndpoints.Path, StringComparison.OrdinalIgnoreCase) && string.Equals(request.ContentType, ArchiveEndpoints.Zip, StringComparison.OrdinalIgnoreCase);

    private static void SetHeaders(HttpContext context)
    {
        var headers = context.Response.Headers;
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers["Referrer-Policy"] = "no-referrer";
        headers.XContentTypeOptions = "nosniff";
        headers.XFrameOptions = "DENY";
        headers.ContentSecurityPolicy = PolicyOf(context.Request.Host);
    }

    /// <summary>Scripts come from files of this service only; style attributes are what the plots and the page's own transitions set.</summary>
    /// <param name="script">A further source of scripts, for example a nonce.</param>
    public static string PolicyOf(HostString host, string script = "") =>
        $"default-src 'self'; script-src 'self' {script}; connect-src 'self' ws://{host}; img-src 'self' data: blob:; font-src 'self' data:; "
        + "style-src 'self' 'unsafe-inline'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";
}
