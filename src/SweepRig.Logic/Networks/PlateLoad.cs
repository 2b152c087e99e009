using MathNet.Numerics.LinearAlgebra;

namespace SweepRig.Logic.Networks;

/// <summary>What the plate of a tube works into: a supply behind a resistance.</summary>
/// <param name="Volts">Of the plate with all tubes out of their sockets.</param>
/// <param name="Ohms">Behind which it stands.</param>
/// <remarks>Thévenin's theorem on resistors and sources as they are at the beginning; tubes, diodes and capacitors carry nothing.</remarks>
internal sealed record PlateLoad(double Volts, double Ohms)
{
    // What a clean socket leaks: grids that hang on a stopper alone have a voltage by it.
    private const double LeakSiemens = 1e-13;

    public static PlateLoad Of(Network network, string plate)
    {
        string[] nodes = [.. network.Nodes];
        var at = nodes.Select((name, place) => (name, place)).ToDictionary(n => n.name, n => n.place, StringComparer.Ordinal);
        var sources = network.Parts.OfType<Source>().ToList();
        var matrix = Matrix<double>.Build.Dense(nodes.Length + sources.Count, nodes.Length + sources.Count);
        var (supplied, driven) = (Vector<double>.Build.Dense(matrix.RowCount), Vector<double>.Build.Dense(matrix.RowCount));
        for (var n = 0; n < nodes.Length; n++) matrix[n, n] = LeakSiemens;
        foreach (var resistor in network.Parts.OfType<Resistor>()) Couple(Place(resistor.A), Place(resistor.B), 1 / resistor.Ohms);
        foreach (var (source, row) in sources.Select((s, n) => (s, nodes.Length + n)))
        {
            foreach (var (node, sign) in ((int, double)[])[(Place(source.Plus), 1), (Place(source.Minus), -1)])
                if (node >= 0) matrix[row, node] = matrix[node, row] = sign;
            supplied[row] = source.Volts.At(0);
        }
        driven[at[plate]] = 1;
        var factors = matrix.LU();
        return new(factors.Solve(supplied)[at[plate]], factors.Solve(driven)[at[plate]]);

        int Place(string node) => node == Network.Ground ? -1 : at[node];

        void Couple(int a, int b, double siemens)
        {
            if (a >= 0) matrix[a, a] += siemens;
            if (b >= 0) matrix[b, b] += siemens;
            if (a >= 0 && b >= 0) (matrix[a, b], matrix[b, a]) = (matrix[a, b] - siemens, matrix[b, a] - siemens);
        }
    }
}
