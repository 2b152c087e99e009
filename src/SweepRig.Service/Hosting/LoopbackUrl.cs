using System.Net;
using SweepRig.Domain;

namespace SweepRig.Service.Hosting;

/// <summary>An address that only this machine can reach.</summary>
/// <param name="Address">127.0.0.0/8 or ::1.</param>
/// <param name="Port">0 takes any free port.</param>
public sealed record LoopbackUrl(IPAddress Address, int Port)
{
    /// <summary>Reads <c>http://127.0.0.1:PORT</c>, <c>http://localhost:PORT</c> or <c>http://[::1]:PORT</c>. Anything else is refused.</summary>
    public static Outcome<LoopbackUrl> Parse(string text)
    {
        if (!Uri.TryCreate(text, UriKind.Absolute, out var uri) || uri.Scheme != Uri.UriSchemeHttp || uri.PathAndQuery != "/" || uri.UserInfo.Length > 0)
            return Refuse("url-not-understood", text, "a URL is http://, a loopback name and a port, with nothing behind it");
        // localhost could be made to mean anything in a hosts file, so it is taken as the address that it stands for.
        var address = uri.IdnHost == "localhost" ? IPAddress.Loopback : IPAddress.TryParse(uri.IdnHost, out var literal) ? literal : null;
        if (address is null || !IPAddress.IsLoopback(address))
            return Refuse("url-not-loopback", text, "the bench is served on this machine only: 127.0.0.1, localhost or [::1]");
        return Outcome<LoopbackUrl>.Accept(new(address, uri.Port));
    }

    private static Outcome<LoopbackUrl> Refuse(string code, string asked, string allowed) => Outcome<LoopbackUrl>.Refuse(
        new Refusal(code, "", $"URL {asked}", allowed, $"Use {BenchOptions.DefaultUrl}, or reach it from afar through an SSH tunnel."));
}
