using System.ComponentModel;
using System.Diagnostics;

namespace SweepRig.Benchmarks.Fits;

/// <summary>Runs a Python script that lies beside the program, on one thread.</summary>
internal static class PythonScript
{
    // Debian's own interpreter: python3-scipy belongs to it, other interpreters on the path may have another SciPy or none.
    private const string Interpreter = "/usr/bin/python3";

    /// <param name="name">File in the folder <c>Fits</c>.</param>
    /// <param name="arguments">Passed on.</param>
    /// <param name="input">Written to its standard input.</param>
    /// <returns>The lines of its standard output.</returns>
    /// <exception cref="InvalidOperationException">Python or SciPy is missing or failed; the message says what to do.</exception>
    public static async Task<string[]> RunAsync(string name, IEnumerable<string> arguments, string input = "")
    {
        var start = new ProcessStartInfo(Interpreter, [Path.Combine(AppContext.BaseDirectory, "Fits", name), .. arguments])
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        foreach (var variable in (string[])["OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"]) start.Environment[variable] = "1";
        using var process = Start(start);
        var output = process.StandardOutput.ReadToEndAsync();
        var errors = process.StandardError.ReadToEndAsync();
        try
        {
            await process.StandardInput.WriteAsync(input);
            process.StandardInput.Close();
        }
        catch (IOException)
        {
            // The script has ended early; its exit code and error text below say why.
        }
        await process.WaitForExitAsync();
        if (process.ExitCode != 0) throw new InvalidOperationException($"{name} failed (exit code {process.ExitCode}). Install SciPy with tests/run. {await errors}");
        return (await output).Split('\n', StringSplitOptions.RemoveEmptyEntries);
    }

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
