using System.Numerics;
using SweepRig.Analysis.Uncertainty;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Networks;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Yield;

/// <summary>Everything that varies in a network, one number each: a resistor or rail from -1 to 1 of its tolerance, a tube's constants in standard deviations.</summary>
internal sealed class YieldFactors
{
    private readonly NominalTable _table;
    private readonly Tolerances _tolerances;
    private readonly double[] _siemens, _rails;
    private readonly TubePart[] _tubes;

    public YieldFactors(NominalTable table, Tolerances tolerances)
    {
        (_table, _tolerances) = (table, tolerances);
        var network = table.Values.Circuit.Network;
        _siemens = [.. table.Values.Siemens];
        _tubes = [.. network.Tubes];
        _rails = [.. table.Rails.Select(r => table.Values.Sources[r].At(0))];
        Names =
        [
            .. network.Parts.OfType<Resistor>().Select(r => r.Name), "plate rail", "bias rail",
            .. _tubes.SelectMany(t => (string[])[$"{t.Name} current", $"{t.Name} offset", $"{t.Name} emission"]),
        ];
        Varies =
        [
            .. _siemens.Select(_ => tolerances.ResistorTolerance > 0), .. _rails.Select(_ => tolerances.RailTolerance > 0),
            .. _tubes.SelectMany(_ => (bool[])[tolerances.CurrentDrift > 0, tolerances.OffsetDriftVolts > 0, tolerances.EmissionDrift > 0]),
        ];
        IsBounded = [.. Names.Select((_, at) => at < _siemens.Length + _rails.Length)];
    }

    public IReadOnlyList<string> Names { get; }

    /// <summary>False for what has no tolerance.</summary>
    public IReadOnlyList<bool> Varies { get; }

    /// <summary>True for what has ends, false for what is spread normally.</summary>
    public IReadOnlyList<bool> IsBounded { get; }

    /// <summary>Draws a number for each. What has no tolerance gets 0.</summary>
    public void Draw(RandomStream random, Span<double> at)
    {
        for (var f = 0; f < at.Length; f++) at[f] = !Varies[f] ? 0 : IsBounded[f] ? 2 * random.Uniform() - 1 : random.Normal();
    }

    /// <summary>Puts a set of numbers into the values of a bench.</summary>
    public void Put(ReadOnlySpan<double> at, TableBench bench)
    {
        var values = bench.Values;
        for (var r = 0; r < _siemens.Length; r++) values.Siemens[r] = _siemens[r] / (1 + _tolerances.ResistorTolerance * at[r]);
        for (var r = 0; r < _rails.Length; r++) values.Sources[_table.Rails[r]] = Waveform.Steady(_rails[r] * (1 + _tolerances.RailTolerance * at[_siemens.Length + r]));
        var first = _siemens.Length + _rails.Length;
        for (var t = 0; t < _tubes.Length; t++)
            if (Varies[first + 3 * t] || Varies[first + 3 * t + 1] || Varies[first + 3 * t + 2]) values.Tubes[t] = Moved(t, at);
    }

    /// <summary>Puts a set of numbers for each lane.</summary>
    public void Put(ReadOnlySpan<Vector<double>> at, LaneBench bench)
    {
        for (var r = 0; r < _siemens.Length; r++) bench.Siemens[r] = new Vector<double>(_siemens[r]) / (Vector<double>.One + _tolerances.ResistorTolerance * at[r]);
        for (var r = 0; r < _rails.Length; r++) bench.SetSource(_table.Rails[r], _rails[r] * (Vector<double>.One + _tolerances.RailTolerance * at[_siemens.Length + r]));
        var first = _siemens.Length + _rails.Length;
        for (var t = 0; t < _tubes.Length; t++)
        {
            var tube = first + 3 * t;
            if (!Varies[tube] && !Varies[tube + 1] && !Varies[tube + 2]) continue;
            bench.Vary(t, Vector.Exp(_tolerances.CurrentDrift * at[tube]), _tolerances.OffsetDriftVolts * at[tube + 1], Vector.Exp(_tolerances.EmissionDrift * at[tube + 2]));
        }
        bench.Begin();
    }

    private TubeModel Moved(int tube, ReadOnlySpan<double> at)
    {
        var first = _siemens.Length + _rails.Length + 3 * tube;
        var part = _tubes[tube];
        return new(_tolerances.Moved(part.Model.Parameters, at[first], at[first + 1], at[first + 2]), new Volts(part.HeaterVolts));
    }
}
