using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;

namespace SweepRig.Analysis.Tests.Matching;

/// <summary>NetworkX (Debian package python3-networkx), whose matchings have nothing in common with ours.</summary>
internal static class NetworkX
{
    // Debian's own interpreter: the package belongs to it, others on the path may not have it.
    private const string Interpreter = "/usr/bin/python3";

    /// <param name="lots">Number of tubes of each, and their distances.</param>
    /// <returns>Of each the least sum of distances, and the least worst distance.</returns>
    /// <exception cref="InvalidOperationException">Python or NetworkX is missing or failed; the message says what to do.</exception>
    public static async Task<IReadOnlyList<(double Sum, double Worst)>> PairAsync(IEnumerable<(int Count, Func<int, int, double> Distance)> lots, CancellationToken cancellation)
    {
        var start = new ProcessStartInfo(Interpreter, [System.IO.Path.Combine(AppContext.BaseDirectory, "Matching", "matchings.py")])
        {
            RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true,
        };
        using var process = Start(start);
        var output = process.StandardOutput.ReadToEndAsync(cancellation);
        var errors = process.StandardError.ReadToEndAsync(cancellation);
        try
        {
            foreach (var (count, distance) in lots) await process.StandardInput.WriteLineAsync(Line(count, distance).AsMemory(), cancellation);
            process.StandardInput.Close();
        }
        catch (IOException)
        {
            // It has ended early; its exit code and error text below say why.
        }
        await process.WaitForExitAsync(cancellation);
        if (process.ExitCode != 0) throw new InvalidOperationException($"matchings.py failed (exit code {process.ExitCode}). Install NetworkX with tests/run. {await errors}");
        return
        [
            .. (await output).Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(l => l.Split(' '))
                .Select(n => (double.Parse(n[0], CultureInfo.InvariantCulture), double.Parse(n[1], CultureInfo.InvariantCulture))),
        ];
    }

    private static string Line(int count, Func<int, int, double> distance) =>
        string.Join(' ', Enumerable.Range(0, count).SelectMany(i => Enumerable.Range(i + 1, count - i - 1).Select(j => distance(i, j).ToString("R", CultureInfo.InvariantCulture))).Prepend(count.ToString(CultureInfo.InvariantCulture)));

    private static Process Start(ProcessStartInfo start)
    {
        try
        {
            return Process.Start(start) ?? throw new InvalidOperationException("SweepRig bug: no process was started.");
        }
        catch (Win32Exception e)
        {
            throw new InvalidOperationException($"{Interpreter} cannot be started; install it with tests/run.", e);
        }
    }
}
