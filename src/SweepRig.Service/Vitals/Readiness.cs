using SweepRig.Service.Contract;
using SweepRig.Service.Doctor;
using SweepRig.Service.Hosting;
using SweepRig.Service.Stations;
using SweepRig.Storage;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Vitals;

/// <summary>Whether a sweep could be begun now, and if not, why.</summary>
public sealed class Readiness(StationList stations, Pulse pulse, RunStore store, BenchOptions options, IMachine machine)
{
    public ReadyView Now()
    {
        List<ReasonView> reasons = [];
        reasons.AddRange(pulse.Silent.Select(name => new ReasonView("not-alive", null, true, $"{name} does not answer", "Start the service again; the watchdog of systemd does it by itself.")));
        var connected = 0;
        foreach (var station in stations)
        {
            var bench = station.Runner.State;
            if (bench.Link == RigLinkState.Connected) connected++;
            else reasons.Add(new("rig-away", station.Name, stations.Count == 1, bench.LinkFault ?? $"{bench.RigName} is not connected yet", "Check cable and power; it is tried again by itself."));
            if (bench.Trip is { } trip) reasons.Add(new("tripped", station.Name, false, $"tripped: {trip.Measured}; {trip.Limit}", "Acknowledge the trip once its cause is gone: sweeprig acknowledge."));
        }
        if (connected == 0 && stations.Count > 1) reasons.Add(new("no-rig", null, true, $"none of {stations.Count} rigs is connected", "Check their power."));
        if (store.Waiting > 0) reasons.Add(new("store-away", null, true, $"{store.Waiting} writes wait for the server of the store; no run begins meanwhile", "Start the server."));
        reasons.AddRange(DiskChecks.Of(machine, options.DataDirectory).Where(f => f.Verdict != Verdict.Good && f.Topic == DiskChecks.Topic)
            .Select(f => new ReasonView("disk", null, f.Verdict == Verdict.Bad, f.Found, f.Remedy!)));
        var status = reasons.Any(r => r.Blocks) ? "fail" : reasons.Count > 0 ? "warn" : "pass";
        return new(status, BenchServices.SoftwareVersion, connected, stations.Count, [.. reasons]);
    }
}
