using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Control;

namespace SweepRig.Rigs.Bus;

/// <summary>Gathers samples into blocks as a link would send them.</summary>
/// <param name="pass">Pass of the samples.</param>
/// <param name="mask">Channels measured.</param>
internal sealed class BlockGatherer(int pass, byte mask)
{
    public const int Capacity = 64;

    /// <summary>A sample is told after this at the latest; a page that draws 50 times a second needs no more.</summary>
    public const long HoldMicroseconds = 20_000;

    private readonly List<Sample> _waiting = new(Capacity);

    /// <summary>Blocks given so far.</summary>
    public int Blocks { get; private set; }

    public bool IsDue(long now) => _waiting.Count >= Capacity || (_waiting.Count > 0 && now - _waiting[0].AtMicroseconds >= HoldMicroseconds);

    public void Add(in Sample sample) => _waiting.Add(sample);

    /// <summary>All samples waiting as one block; null when none wait.</summary>
    public SampleBlock? Take()
    {
        if (_waiting.Count == 0) return null;
        var samples = _waiting.ToArray();
        _waiting.Clear();
        return new()
        {
            Pass = pass,
            FrameIndex = Blocks++,
            PointIndex = Array.ConvertAll(samples, s => (ushort)s.Point),
            SampledAtTicks = Array.ConvertAll(samples, s => s.AtMicroseconds),
            DriveCode = Array.ConvertAll(samples, s => (ushort)s.DriveCode),
            Flags = Array.ConvertAll(samples, s => s.Flags),
            AveragedCount = Array.ConvertAll(samples, s => (ushort)Math.Min(s.Averaged, ushort.MaxValue)),
            Spread = Array.ConvertAll(samples, s => s.Spread),
            Codes =
            [
                Column(samples, RigChannel.Plate, s => s.Plate), Column(samples, RigChannel.Grid, s => s.Grid), Column(samples, RigChannel.Screen, s => s.Screen),
                Column(samples, RigChannel.Supply, s => s.Supply), Column(samples, RigChannel.Drive, s => s.Drive),
            ],
        };
    }

    private ushort[] Column(Sample[] samples, RigChannel channel, Converter<Sample, ushort> of) =>
        (mask & (1 << (int)channel)) != 0 ? Array.ConvertAll(samples, of) : [];
}
