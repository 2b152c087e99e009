using System.Net;
using System.Net.NetworkInformation;
using SweepRig.Service.Hosting;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Hosting;

public sealed class LoopbackUrlTests
{
    [Theory]
    [InlineData("http://127.0.0.1:5240", "127.0.0.1", 5240)]
    [InlineData("http://127.0.0.1:0", "127.0.0.1", 0)]
    [InlineData("http://localhost:8080/", "127.0.0.1", 8080)]
    [InlineData("http://[::1]:5240", "::1", 5240)]
    [InlineData("http://127.9.9.9", "127.9.9.9", 80)]
    public void Names_of_this_machine_are_taken(string text, string address, int port)
    {
        var url = LoopbackUrl.Parse(text);
        Assert.True(url.IsAccepted);
        Assert.Equal(address, url.Value.Address.ToString());
        Assert.Equal(port, url.Value.Port);
    }

    [Fact]
    public async Task A_served_bench_listens_on_loopback_and_nowhere_else()
    {
        await using var bench = await TestBench.StartAsync();
        // As the operating system tells it, whatever the service believes.
        var listeners = IPGlobalProperties.GetIPGlobalProperties().GetActiveTcpListeners().Where(l => l.Port == bench.Url.Port).ToList();
        Assert.NotEmpty(listeners);
        Assert.All(listeners, l => Assert.True(IPAddress.IsLoopback(l.Address), $"It listens on {l}."));
    }

    [Theory]
    [InlineData("http://0.0.0.0:5240", "url-not-loopback")]
    [InlineData("http://192.168.1.20:5240", "url-not-loopback")]
    [InlineData("http://[::]:5240", "url-not-loopback")]
    [InlineData("http://bench.local:5240", "url-not-loopback")]
    [InlineData("http://localhost.example:5240", "url-not-loopback")]
    [InlineData("https://127.0.0.1:5240", "url-not-understood")]
    [InlineData("http://127.0.0.1:5240/sub", "url-not-understood")]
    [InlineData("http://me@127.0.0.1:5240", "url-not-understood")]
    [InlineData("http://127.0.0.1:70000", "url-not-understood")]
    [InlineData("127.0.0.1:5240", "url-not-understood")]
    [InlineData("", "url-not-understood")]
    public void Everything_else_is_refused_by_name(string text, string code)
    {
        var url = LoopbackUrl.Parse(text);
        Assert.Equal(code, Assert.Single(url.Refusals).Code);
        Assert.Contains(text, url.Refusals[0].ToString(), StringComparison.Ordinal);
    }
}
