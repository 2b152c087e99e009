using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;

namespace SweepRig.Sweeps.Running;

/// <summary>What the rig read of itself at a point that was held.</summary>
/// <param name="DriveCode">DAC code.</param>
/// <param name="Codes">Mean stored code of each channel, in link order.</param>
/// <param name="CodeUncertainties">Standard uncertainty of each mean, stored codes: scatter between samples and the resolution of a stored code.</param>
/// <param name="Samples">How many were averaged.</param>
public sealed record HeldReading(int DriveCode, IReadOnlyList<double> Codes, IReadOnlyList<double> CodeUncertainties, int Samples)
{
    /// <summary>Newest samples that are averaged; older ones may be from before the meter settled.</summary>
    public const int MostSamples = 64;

    /// <summary>Ten standard deviations of the noise of a converter in order, 0.4 steps.</summary>
    private const double CodesFromEnd = 4;

    /// <summary>Nominal voltage of a channel.</summary>
    public double NominalVolts(RigIdentity rig, RigChannel channel) => rig.Channels[(int)channel].ToVolts(Codes[(int)channel]);

    /// <summary>Standard uncertainty of that, volts.</summary>
    public double NominalUncertaintyVolts(RigIdentity rig, RigChannel channel)
    {
        var scale = rig.Channels[(int)channel];
        return CodeUncertainties[(int)channel] * scale.StepVolts / (1 << scale.FractionBits);
    }

    /// <summary>True when a channel stands so near an end of its converter that noise may be cut off there.</summary>
    public bool IsAtEnd(RigIdentity rig, RigChannel channel)
    {
        var scale = rig.Channels[(int)channel];
        var conversion = Codes[(int)channel] / (1 << scale.FractionBits);
        return conversion < CodesFromEnd || conversion > scale.MaxCode - CodesFromEnd;
    }

    /// <summary>Averages the newest samples.</summary>
    /// <param name="blocks">In the order received, at least two samples of all channels.</param>
    public static HeldReading Of(IReadOnlyList<SampleBlock> blocks)
    {
        var samples = blocks.SelectMany(b => Enumerable.Range(0, b.Count).Select(i => (Block: b, At: i))).TakeLast(MostSamples).ToArray();
        var means = new double[RigChannels.Count];
        var uncertainties = new double[RigChannels.Count];
        for (var channel = 0; channel < RigChannels.Count; channel++)
        {
            var codes = samples.Select(s => (double)s.Block.Codes[channel][s.At]).ToArray();
            var mean = codes.Average();
            // Experimental standard deviation of the mean, JCGM 100:2008, 4.2.3; and one stored code, rectangular, F.2.2.1.
            var scatter = codes.Sum(c => (c - mean) * (c - mean)) / (codes.Length - 1) / codes.Length;
            (means[channel], uncertainties[channel]) = (mean, Math.Sqrt(scatter + 1 / 12.0));
        }
        return new(samples[^1].Block.DriveCode[samples[^1].At], means, uncertainties, samples.Length);
    }
}
