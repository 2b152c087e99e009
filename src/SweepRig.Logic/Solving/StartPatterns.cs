namespace SweepRig.Logic.Solving;

/// <summary>Starts in which every tube is either on or off.</summary>
internal static class StartPatterns
{
    private const int Most = 256;
    private const double LowShare = 0.2;

    /// <returns>Voltages of all nodes, one array a start.</returns>
    public static IReadOnlyList<double[]> Of(CircuitValues values, double seconds)
    {
        var circuit = values.Circuit;
        // Tubes that share their plate are high or low together.
        int[] plates = [.. circuit.Tubes.Select(t => t.Plate).Where(p => circuit.UnknownOf[p] >= 0).Distinct()];
        return [.. Patterns(plates.Length).Select(high => Start(values, seconds, plates, high))];
    }

    private static IEnumerable<bool[]> Patterns(int count)
    {
        if (count <= StateFinder.MostTubesInFull)
        {
            for (var pattern = 0; pattern < 1 << count; pattern++) yield return [.. Enumerable.Range(0, count).Select(i => (pattern >> i & 1) == 1)];
            yield break;
        }
        for (var one = 0; one < Math.Min(count, Most / 4); one++)
        {
            yield return [.. Enumerable.Range(0, count).Select(i => i == one)];
            yield return [.. Enumerable.Range(0, count).Select(i => i != one)];
        }
        // Multiples of the golden ratio spread evenly whatever their number (Weyl); always the same, so that a search can be repeated.
        for (var n = 1; n <= Most / 2; n++)
        {
            var word = unchecked((ulong)n * 0x9E3779B97F4A7C15UL);
            yield return [.. Enumerable.Range(0, count).Select(i => (word >> (63 - i % 64) & 1) == 1)];
        }
    }

    private static double[] Start(CircuitValues values, double seconds, int[] plates, bool[] high)
    {
        var circuit = values.Circuit;
        var volts = new double[circuit.Nodes.Count];
        values.Hold(seconds, 1, volts);
        var top = volts.Max();
        var free = new bool[volts.Length];
        for (var n = 0; n < free.Length; n++) free[n] = circuit.UnknownOf[n] >= 0;
        for (var p = 0; p < plates.Length; p++)
        {
            volts[plates[p]] = high[p] ? top : LowShare * top;
            free[plates[p]] = false;
        }
        FirstGuess.Complete(values, free, volts);
        return volts;
    }
}
