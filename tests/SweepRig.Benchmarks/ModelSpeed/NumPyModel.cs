using System.ComponentModel;
using System.Diagnostics;
using System.Runtime.InteropServices;
using SweepRig.Tubes.Model;

namespace SweepRig.Benchmarks.ModelSpeed;

/// <summary>Runs <c>model_speed.py</c>, the same model vectorised in NumPy, on given points.</summary>
internal static class NumPyModel
{
    // Debian's own interpreter: python3-numpy belongs to it, other interpreters on the path may have another NumPy or none.
    private const string Interpreter = "/usr/bin/python3";

    private const int Columns = 12;

    /// <param name="Rate">Best rate seen. Unit: evaluations per second.</param>
    /// <param name="Results">Ig1, Ig2, Ip and the nine derivatives, one array each.</param>
    public sealed record Answer(double Rate, double[][] Results);

    /// <exception cref="InvalidOperationException">Python or NumPy is missing or failed; the message says what to do.</exception>
    public static async Task<Answer> MeasureAsync(TubeModel model, double[][] volts, double seconds)
    {
        var count = volts[0].Length;
        var start = new ProcessStartInfo(Interpreter, [Path.Combine(AppContext.BaseDirectory, "ModelSpeed", "model_speed.py")])
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        foreach (var name in (string[])["OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"]) start.Environment[name] = "1";
        using var process = Start(start);
        var errorText = process.StandardError.ReadToEndAsync();
        var output = ReadAllAsync(process.StandardOutput.BaseStream);
        double[] head = [count, seconds, .. Constants(model)];
        try
        {
            await using var input = process.StandardInput.BaseStream;
            foreach (var block in (double[][])[head, .. volts]) await input.WriteAsync(MemoryMarshal.AsBytes(block.AsSpan()).ToArray());
        }
        catch (IOException)
        {
            // The script has ended early; its exit code and error text below say why.
        }
        await process.WaitForExitAsync();
        var numbers = MemoryMarshal.Cast<byte, double>(await output).ToArray();
        if (process.ExitCode != 0 || numbers.Length != 1 + Columns * count)
            throw new InvalidOperationException($"NumPy gave no answer (exit code {process.ExitCode}). Install it with tests/run. {await errorText}");
        return new(numbers[0], [.. Enumerable.Range(0, Columns).Select(n => numbers.AsSpan(1 + n * count, count).ToArray())]);
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

    private static async Task<byte[]> ReadAllAsync(Stream stream)
    {
        using var memory = new MemoryStream();
        await stream.CopyToAsync(memory);
        return memory.ToArray();
    }

    // The order of the script.
    private static double[] Constants(TubeModel model)
    {
        var p = model.Parameters;
        return
        [
            p.Perveance, p.ScreenMu, p.PlateMu, p.GridOffset, p.CutoffSpread, p.GridShare, p.GridOnset,
            p.GridSpaceLimit, p.GridSpaceSharpness, p.PlateShare, p.PlateShareSlope, p.PlateSpaceLimit, p.PlateSpaceSharpness,
            p.FoldBackCurrent, p.Emission, p.EmissionSharpness, p.WorkFunctionElectronVolts, p.RatedTemperatureKelvin, p.GasRatio,
            p.GridCathodeLeakSiemens, p.GridScreenLeakSiemens, p.GridPlateLeakSiemens, p.PlateCathodeLeakSiemens, model.TemperatureKelvin,
        ];
    }
}
