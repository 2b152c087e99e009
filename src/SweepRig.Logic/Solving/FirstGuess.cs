namespace SweepRig.Logic.Solving;

/// <summary>Voltages to start from: held nodes as held, plates a third up, grids where their resistors would put them, at most a volt above the cathode.</summary>
internal static class FirstGuess
{
    private const int Sweeps = 30;

    /// <param name="volts">One a node.</param>
    public static void Write(CircuitValues values, double seconds, Span<double> volts)
    {
        var circuit = values.Circuit;
        var free = new bool[volts.Length];
        for (var n = 0; n < free.Length; n++) free[n] = circuit.UnknownOf[n] >= 0;
        values.Hold(seconds, 1, volts);
        var top = 0.0;
        for (var n = 0; n < free.Length; n++)
            if (!free[n]) top = Math.Max(top, volts[n]);
        for (var n = 0; n < free.Length; n++)
            if (free[n]) volts[n] = 0;
        foreach (var tube in circuit.Tubes)
        {
            if (!free[tube.Plate]) continue;
            volts[tube.Plate] = 0.3 * top;
            free[tube.Plate] = false;
        }
        Relax(values, free, volts);
        foreach (var tube in circuit.Tubes)
            if (circuit.UnknownOf[tube.Grid] >= 0) volts[tube.Grid] = Math.Min(volts[tube.Grid], volts[tube.Cathode] + 1);
    }

    /// <summary>Fills in what a start leaves open: free nodes where their resistors pull them, free grids at most a volt above their cathode.</summary>
    public static void Complete(CircuitValues values, ReadOnlySpan<bool> free, Span<double> volts)
    {
        Relax(values, free, volts);
        foreach (var tube in values.Circuit.Tubes)
            if (free[tube.Grid]) volts[tube.Grid] = Math.Min(volts[tube.Grid], volts[tube.Cathode] + 1);
    }

    /// <summary>Sets every free node to the mean that its resistors pull it to, some times over: rough, but a start needs no more.</summary>
    private static void Relax(CircuitValues values, ReadOnlySpan<bool> free, Span<double> volts)
    {
        var ends = values.Circuit.Resistors;
        Span<double> pull = stackalloc double[volts.Length], weight = stackalloc double[volts.Length];
        for (var sweep = 0; sweep < Sweeps; sweep++)
        {
            pull.Clear();
            weight.Clear();
            for (var r = 0; r < ends.Length; r++)
            {
                var (a, b) = ends[r];
                var siemens = values.Siemens[r];
                pull[a] += siemens * volts[b];
                weight[a] += siemens;
                pull[b] += siemens * volts[a];
                weight[b] += siemens;
            }
            for (var n = 0; n < volts.Length; n++)
                if (free[n] && weight[n] > 0) volts[n] = pull[n] / weight[n];
        }
    }
}
