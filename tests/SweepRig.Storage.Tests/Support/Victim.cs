using System.Diagnostics;
using Microsoft.Extensions.Logging.Abstractions;

namespace SweepRig.Storage.Tests.Support;

/// <summary>A process that takes the lock, records block after block, and says on its output what was acknowledged, until it is killed.</summary>
internal sealed class Victim : IDisposable
{
    public const string Argument = "--record-until-killed";

    private readonly Process _process;

    private Victim(Process process) => _process = process;

    public int ProcessId => _process.Id;

    public static Victim Start(string directory)
    {
        // Either this test runs in its own executable or under the dotnet host.
        var host = Environment.ProcessPath ?? throw new InvalidOperationException("No process path.");
        var assembly = typeof(Victim).Assembly.Location;
        var start = new ProcessStartInfo(host) { RedirectStandardOutput = true, UseShellExecute = false };
        if (Path.GetFileNameWithoutExtension(host) == "dotnet") start.ArgumentList.Add(assembly);
        start.ArgumentList.Add(Argument);
        start.ArgumentList.Add(directory);
        return new(Process.Start(start) ?? throw new InvalidOperationException("The process did not start."));
    }

    /// <summary>Waits until at least so many appends were acknowledged, kills the process, and returns the last acknowledged sequence number.</summary>
    public async Task<long> KillAfterAsync(int acknowledged, CancellationToken cancellationToken)
    {
        var last = -1L;
        for (var i = 0; i < acknowledged; i++)
        {
            var line = await _process.StandardOutput.ReadLineAsync(cancellationToken) ?? throw new InvalidOperationException("The process ended by itself.");
            last = long.Parse(line, System.Globalization.CultureInfo.InvariantCulture);
        }
        _process.Kill();
        await _process.WaitForExitAsync(cancellationToken);
        while (await _process.StandardOutput.ReadLineAsync(cancellationToken) is { } late)
        {
            if (long.TryParse(late, System.Globalization.CultureInfo.InvariantCulture, out var sequence)) last = sequence;
        }
        return last;
    }

    public void Dispose()
    {
        if (!_process.HasExited) _process.Kill();
        _process.Dispose();
    }

    public static async Task<int> RecordUntilKilledAsync(string directory)
    {
        using var taken = DataDirectoryLock.TryTake(directory).Value;
        if (taken is null) return 3;
        var store = await RunStore.OpenAsync(directory, TimeProvider.System, NullLogger<RunStore>.Instance, CancellationToken.None);
        var recording = await store.BeginAsync(Examples.Header(), CancellationToken.None);
        for (var i = 0; ; i++)
        {
            var first = await recording.AppendAsync([Examples.Block(i * 2), Examples.Block(i * 2 + 1)], CancellationToken.None);
            await Console.Out.WriteLineAsync((first + 1).ToString(System.Globalization.CultureInfo.InvariantCulture));
            await Console.Out.FlushAsync();
        }
    }
}
