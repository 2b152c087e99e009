using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;

namespace SweepRig.Sweeps.Running;

/// <summary>A block on its way to record and viewers. It is converted once, for the interlocks, and the volts go along.</summary>
/// <param name="NewestSampleUtc">Host estimate of when the last sample was taken.</param>
internal readonly record struct MeasuredBlock(SampleBlock Samples, BlockVolts Volts, DateTimeOffset NewestSampleUtc);
