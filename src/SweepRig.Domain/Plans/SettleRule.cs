using SweepRig.Domain.Quantities;

namespace SweepRig.Domain.Plans;

/// <summary>After the dwell the rig waits until two plate readings in a row agree within the tolerance, or the timeout has passed.</summary>
/// <param name="Tolerance">Greatest difference of two readings that counts as settled; above 0.</param>
/// <param name="TimeoutMicroseconds">Longest wait; a sample taken after it is flagged as unsettled.</param>
public sealed record SettleRule(Volts Tolerance, int TimeoutMicroseconds);
