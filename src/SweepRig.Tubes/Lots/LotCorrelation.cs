namespace SweepRig.Tubes.Lots;

/// <summary>
/// How the differences between tubes of one lot hang together, as a correlation matrix. The reasons are physical, the numbers illustrative (no source):
/// one dimension that is off shows in several constants at once.
/// </summary>
/// <remarks>
/// <para>Emission and grid offset, +0.6: an active cathode has a lower work function, and the contact potential moves with it by (kT/e) ln of the emission
/// ratio (Richardson's law at constant emission constant). A factor of 2 is 0.063 V of the 0.10 V that the offset spreads in all.</para>
/// <para>Perveance and cut-off spread, +0.5: a grid nearer to the cathode gives more current (Child's law) and a field that differs more between the wires.</para>
/// <para>Screen mu and cut-off spread, -0.3; screen mu and grid share, +0.3: a finer or thicker grid screens better, more evenly, and catches more.</para>
/// <para>Perveance and grid-screen limit, +0.3, and grid-screen and plate limit, +0.3: the length of the structure scales all of them.</para>
/// <para>Plate limit and fold-back current, +0.3: both are set by the space in front of the plate. Perveance and emission, +0.2: both go with the coated area.</para>
/// </remarks>
public static class LotCorrelation
{
    /// <summary>Order of rows and columns.</summary>
    public static IReadOnlyList<string> Names { get; } =
    [
        "perveance", "screenMu", "gridOffset", "cutoffSpread", "gridShare", "gridSpaceLimit", "plateSpaceLimit", "plateShare", "foldBackCurrent", "emission",
    ];

    public static int Count => Names.Count;

    private static readonly (int Row, int Column, double Value)[] Pairs =
    [
        (0, 3, 0.5), (0, 5, 0.3), (0, 9, 0.2), (1, 3, -0.3), (1, 4, 0.3), (2, 9, 0.6), (5, 6, 0.3), (6, 8, 0.3),
    ];

    private static readonly double[,] Root = Cholesky();

    /// <summary>Correlation of two constants, -1 to 1; 1 on the diagonal.</summary>
    public static double Between(int row, int column)
    {
        if (row == column) return 1;
        foreach (var (a, b, value) in Pairs)
            if ((a == row && b == column) || (a == column && b == row)) return value;
        return 0;
    }

    /// <summary>Turns independent standard normal numbers into correlated ones, in place.</summary>
    /// <param name="normals">One number a constant.</param>
    internal static void Mix(Span<double> normals)
    {
        // From the last row up, so that each row still finds the numbers it needs.
        for (var row = Count - 1; row >= 0; row--)
        {
            var sum = 0.0;
            for (var column = 0; column <= row; column++) sum += Root[row, column] * normals[column];
            normals[row] = sum;
        }
    }

    private static double[,] Cholesky()
    {
        var root = new double[Count, Count];
        for (var row = 0; row < Count; row++)
        {
            for (var column = 0; column <= row; column++)
            {
                var rest = Between(row, column);
                for (var k = 0; k < column; k++) rest -= root[row, k] * root[column, k];
                if (row != column) root[row, column] = rest / root[column, column];
                else if (rest > 0) root[row, row] = Math.Sqrt(rest);
                else throw new InvalidOperationException($"SweepRig bug: the correlations of a lot contradict each other at {Names[row]}.");
            }
        }
        return root;
    }
}
