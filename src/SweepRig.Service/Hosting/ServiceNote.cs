using System.Text.Json;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;

namespace SweepRig.Service.Hosting;

/// <summary>
/// Leaves a note in the data directory of where the running service is, for commands of other processes: <c>{"url":"...","processId":123}</c>.
/// Written once requests are answered, removed when they no longer are.
/// </summary>
public sealed class ServiceNote(BenchOptions options, IServer server) : IHostedLifecycleService
{
    public const string FileName = "service.json";

    private string Path => System.IO.Path.Combine(options.DataDirectory, FileName);

    public async Task StartedAsync(CancellationToken cancellationToken)
    {
        var note = new { url = UrlOf(server), processId = Environment.ProcessId };
        // A reader must never see half a note.
        var temporary = Path + ".new";
        await File.WriteAllTextAsync(temporary, JsonSerializer.Serialize(note) + "\n", cancellationToken);
        File.Move(temporary, Path, overwrite: true);
    }

    public Task StoppingAsync(CancellationToken cancellationToken)
    {
        File.Delete(Path);
        return Task.CompletedTask;
    }

    public Task StartAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StartingAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StoppedAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    /// <summary>The URL as bound, with the real port where any free one was asked for.</summary>
    public static string UrlOf(IServer server) =>
        server.Features.Get<IServerAddressesFeature>()?.Addresses.FirstOrDefault()
        ?? throw new InvalidOperationException("SweepRig bug: the web server has started without an address.");
}
