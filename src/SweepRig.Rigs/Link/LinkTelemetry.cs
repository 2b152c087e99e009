using System.Diagnostics.Metrics;

namespace SweepRig.Rigs.Link;

/// <summary>What links count. Names and units follow the OpenTelemetry semantic conventions.</summary>
public static class LinkTelemetry
{
    public const string Name = "SweepRig.Rigs.Link";

    private static readonly Meter Meter = new(Name);

    private static readonly Counter<long> LateRenewals = Meter.CreateCounter<long>("sweeprig.lease.renewals.late", "{renewal}", "Renewals of a lease that were sent more than half a period late.");

    internal static void LateRenewal(string port) => LateRenewals.Add(1, KeyValuePair.Create<string, object?>("sweeprig.rig.port", port));
}
