using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;

namespace SweepRig.Analysis.Tests.Spice;

/// <summary>Runs a deck in ngspice (Debian package of that name), with the tolerances that the simulator has by itself unless the deck sets others.</summary>
public static class Ngspice
{
    public const string DeckName = "deck.cir";

    /// <param name="Rows">Scale first, then the vectors asked for.</param>
    /// <param name="Said">What the simulator printed.</param>
    /// <param name="Seconds">Time of the whole process.</param>
    public sealed record Answer(double[][] Rows, string Said, double Seconds);

    /// <param name="deck">Title first, circuit, then control lines of one analysis; without .control, wrdata and .end, which are added.</param>
    /// <param name="analysis">For example <c>dc Vdrive -14 24 1</c>.</param>
    /// <param name="vectors">To be written for each point.</param>
    /// <exception cref="InvalidOperationException">ngspice is missing, did not end within two minutes, or wrote no result; the message holds what it said.</exception>
    public static async Task<Answer> RunAsync(string deck, string analysis, IEnumerable<string> vectors, CancellationToken cancel)
    {
        var folder = Directory.CreateTempSubdirectory("sweeprig-ngspice-");
        try
        {
            var result = System.IO.Path.Combine(folder.FullName, "rows.txt");
            await File.WriteAllTextAsync(
                System.IO.Path.Combine(folder.FullName, DeckName),
                $"{deck}.control\nset wr_singlescale\nset numdgt=15\n{analysis}\nwrdata {result} {string.Join(' ', vectors)}\nquit\n.endc\n.end\n",
                cancel);
            var clock = Stopwatch.StartNew();
            var said = await SaidAsync(folder.FullName, cancel);
            var seconds = clock.Elapsed.TotalSeconds;
            if (!File.Exists(result)) throw new InvalidOperationException("ngspice wrote no result. It said: " + said);
            var rows = (await File.ReadAllLinesAsync(result, cancel))
                .Select(line => line.Split(' ', StringSplitOptions.RemoveEmptyEntries))
                .Where(cells => cells.Length > 0)
                .Select(cells => cells.Select(c => double.Parse(c, CultureInfo.InvariantCulture)).ToArray())
                .ToArray();
            return new(rows, said, seconds);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    /// <summary>Runs a whole deck, which writes what it likes into its folder.</summary>
    /// <param name="folder">Where <see cref="DeckName"/> lies.</param>
    /// <returns>What the simulator printed.</returns>
    /// <exception cref="InvalidOperationException">ngspice is missing.</exception>
    /// <exception cref="OperationCanceledException">It did not end within two minutes.</exception>
    public static async Task<string> SaidAsync(string folder, CancellationToken cancel)
    {
        var start = new ProcessStartInfo("ngspice", ["-b", DeckName]) { RedirectStandardOutput = true, RedirectStandardError = true, WorkingDirectory = folder };
        using var process = Start(start);
        var output = process.StandardOutput.ReadToEndAsync(cancel);
        var error = process.StandardError.ReadToEndAsync(cancel);
        using var deadline = CancellationTokenSource.CreateLinkedTokenSource(cancel);
        deadline.CancelAfter(TimeSpan.FromMinutes(2));
        try
        {
            await process.WaitForExitAsync(deadline.Token);
        }
        catch (OperationCanceledException)
        {
            process.Kill(entireProcessTree: true);
            throw;
        }
        return await output + await error;
    }

    private static Process Start(ProcessStartInfo start)
    {
        try
        {
            return Process.Start(start) ?? throw new InvalidOperationException("ngspice did not start.");
        }
        catch (Win32Exception e)
        {
            throw new InvalidOperationException("ngspice is not installed, and this compares with it. Run tests/run, which installs what the full suite needs.", e);
        }
    }
}
