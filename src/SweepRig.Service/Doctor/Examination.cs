using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Rigs.Serial;
using SweepRig.Service.Calibrations;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Doctor;

/// <summary>
/// Looks at all that a bench stands on. Beside a running service nothing is opened that it has: its rigs are asked through it. Changes nothing, but for a small file
/// that is written and deleted again in the data directory.
/// </summary>
public sealed class Examination(IMachine machine, TimeProvider time)
{
    /// <param name="place">The store, and the data directory beside it.</param>
    /// <param name="port">Serial port to ask; null for those that are present, and for no rig where no service runs.</param>
    /// <param name="baud">Rate of that port.</param>
    public async Task<IReadOnlyList<Finding>> MakeAsync(StorePlace place, string? port, int baud, CancellationToken cancellationToken)
    {
        List<Finding> findings = [];
        var directory = place.DataDirectory;
        var service = await ServiceChecks.AskAsync(directory, cancellationToken);
        var asked = time.GetTimestamp();
        findings.AddRange(ServiceChecks.Of(machine, service, directory));
        findings.AddRange(DataChecks.Of(machine, directory));
        findings.AddRange(DiskChecks.Of(machine, directory));
        var (probe, fault) = await StoreChecks.ProbeAsync(place, cancellationToken);
        findings.AddRange(StoreChecks.Of(probe, fault));
        var started = service?.Live is { } live && DateTimeOffset.TryParse(live.StartedUtc, null, out var utc) ? (utc, TimeSpan.FromSeconds(live.UptimeSeconds) + time.GetElapsedTime(asked)) : default((DateTimeOffset, TimeSpan)?);
        findings.AddRange(ClockChecks.Of(machine, time.GetLocalNow(), time.LocalTimeZone.Id, probe?.NewestRunUtc, started));
        findings.AddRange(MemoryChecks.Of(machine, service?.Service.ProcessId));
        var ports = PortChecks.Of(machine, port, PresentPort.All(), PortHolder.Of, service?.Service.ProcessId).ToArray();
        findings.AddRange(ports);
        findings.AddRange(await RigAsync(service, place, probe, port, baud, ports.Any(f => f.Verdict == Verdict.Bad), cancellationToken));
        return findings;
    }

    private async Task<IEnumerable<Finding>> RigAsync(
        ServiceChecks.Answer? service, StorePlace place, StoreProbe? probe, string? port, int baud, bool portIsBad, CancellationToken cancellationToken)
    {
        if (service is not null) return service.Rigs.SelectMany(r => RigChecks.Of(r, alone: service.Rigs.Count == 1, time.GetUtcNow()));
        var calibrations = await CalibrationsAsync(place, probe, cancellationToken);
        if (port is null) return [Finding.Good("rig", "not asked, as no service runs; to ask the one on a port, name it with --port"), .. calibrations];
        if (portIsBad) return calibrations;
        return [.. RigChecks.Of(await RigChecks.AskAsync(new SerialRigPort(port, baud, time), time, cancellationToken), port), .. calibrations];
    }

    /// <summary>Of each rig that has one on record, the one that it would work on.</summary>
    private async Task<IReadOnlyList<Finding>> CalibrationsAsync(StorePlace place, StoreProbe? probe, CancellationToken cancellationToken)
    {
        if (probe is null || probe.Version < probe.Latest) return [];
        await using var store = await RunStore.OpenAsync(place, time, NullLogger<RunStore>.Instance, cancellationToken);
        var calibrations = new CalibrationStore(store, time);
        var shelf = new CalibrationShelf(calibrations, time);
        await shelf.RefreshAsync(cancellationToken);
        var rigs = (await calibrations.ListAsync(null, cancellationToken)).Select(c => c.RigSerialNumber).Distinct(StringComparer.Ordinal);
        return [.. rigs.Select(r => RigChecks.Of(BenchViews.Of(shelf.Newest(r)!.At(time.GetUtcNow())), r, time.GetUtcNow()))];
    }
}
