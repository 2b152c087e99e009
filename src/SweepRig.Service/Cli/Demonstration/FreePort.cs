using System.Net;
using System.Net.Sockets;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Cli.Demonstration;

/// <summary>The usual address, or any free port of this machine when another program has it: a demonstration starts in any case.</summary>
public static class FreePort
{
    public static string UsualUrlOrAnyFree()
    {
        var usual = new Uri(BenchOptions.DefaultUrl);
        using var probe = new Socket(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp);
        try
        {
            probe.Bind(new IPEndPoint(IPAddress.Loopback, usual.Port));
            return BenchOptions.DefaultUrl;
        }
        catch (SocketException)
        {
            return "http://127.0.0.1:0";
        }
    }
}
