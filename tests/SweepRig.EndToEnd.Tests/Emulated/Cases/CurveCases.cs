using SweepRig.Domain.Tubes;
using SweepRig.EndToEnd.Tests.Emulated.Rigs;

namespace SweepRig.EndToEnd.Tests.Emulated.Cases;

/// <summary>The same tube on the three rigs, measured through the service: the same curve within one step of the converters.</summary>
public sealed class CurveCases(CurveCases.Measured measured) : IClassFixture<CurveCases.Measured>
{
    [Theory]
    [InlineData(RigKind.Host, ConnectionKind.Pentode)]
    [InlineData(RigKind.Host, ConnectionKind.Triode)]
    [InlineData(RigKind.Avr, ConnectionKind.Pentode)]
    [InlineData(RigKind.Avr, ConnectionKind.Triode)]
    public void The_firmware_measures_what_the_rig_in_CSharp_measures(RigKind kind, ConnectionKind connection)
    {
        var ours = measured.Of(kind)[connection];
        var theirs = measured.Of(RigKind.Simulated)[connection];

        Assert.Equal(2, ours.Length);
        foreach (var channel in MeasuredCurves.Channels)
            Assert.InRange(MeasuredCurves.LargestDifference(ours, theirs, channel), 0, 1 + 1e-9);
    }

    [Theory]
    [InlineData(RigKind.Simulated)]
    [InlineData(RigKind.Host)]
    [InlineData(RigKind.Avr)]
    public void The_pentode_folds_back_and_the_triode_does_not(RigKind kind)
    {
        var pentode = measured.Of(kind)[ConnectionKind.Pentode][0].Plate;
        var triode = measured.Of(kind)[ConnectionKind.Triode][0].Plate;

        // Common practice, no source: far positive the output of a pentode rises again by some tenths of a volt, that of a triode goes on falling.
        Assert.InRange(pentode[^1]!.Value - pentode.Min()!.Value, 0.15, 0.6);
        Assert.InRange(triode[^1]!.Value - triode.Min()!.Value, 0, 0.02);
        Assert.InRange(pentode[0]!.Value, 27.95, 28.05);
    }

    /// <summary>Each rig is measured once.</summary>
    public sealed class Measured : IAsyncLifetime
    {
        private readonly Dictionary<RigKind, MeasuredCurves> _curves = [];

        internal MeasuredCurves Of(RigKind kind) => _curves[kind];

        public async ValueTask InitializeAsync()
        {
            foreach (var kind in Enum.GetValues<RigKind>()) _curves[kind] = await MeasuredCurves.MeasureAsync(kind);
        }

        public ValueTask DisposeAsync() => ValueTask.CompletedTask;
    }
}
