using System.Globalization;

namespace SweepRig.Tubes.Tests;

/// <summary>Reads the tables of the data folder; see its README for their sources.</summary>
internal static class CheckData
{
    public static IEnumerable<string[]> Rows(string file)
    {
        using var stream = typeof(CheckData).Assembly.GetManifestResourceStream(file)
            ?? throw new InvalidOperationException($"SweepRig bug: the check data {file} are not in the test assembly.");
        using var reader = new StreamReader(stream);
        reader.ReadLine();
        while (reader.ReadLine() is { } line) yield return line.Split(',');
    }

    public static double[] Numbers(string[] row, int from) =>
        [.. row[from..].Select(text => double.Parse(text, CultureInfo.InvariantCulture))];
}
