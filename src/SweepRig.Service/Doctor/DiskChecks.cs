using System.Globalization;

namespace SweepRig.Service.Doctor;

/// <summary>Room on the disk of the data directory, and what the disk tells of its health.</summary>
public static class DiskChecks
{
    // Common practice, no source. A thousand short sweeps take some megabytes.
    private const long LittleRoom = 1L << 30, NoRoom = 64L << 20;
    private const long FewFiles = 1_000, NoFiles = 20;

    public const string Topic = "disk";

    public static IEnumerable<Finding> Of(IMachine machine, string directory)
    {
        // Before the directory is made, the disk is that of the nearest directory above it.
        var place = directory;
        while (machine.OwnerOf(place) is null && Path.GetDirectoryName(place) is { } above) place = above;
        if (machine.DiskOf(place) is not { } disk)
        {
            yield return Finding.Look(Topic, $"nothing is known of the disk of {directory}", "Look at its free room yourself.");
            yield break;
        }
        if (disk.ReadOnly)
            yield return Finding.Bad(Topic, $"the disk of {directory} is mounted read-only", "Linux does that to a disk that fails. See dmesg, copy what is on it, then check or replace it.");
        yield return Room(disk, directory);
        if (disk.FreeFiles is { } files and < FewFiles)
            yield return new(Topic, files < NoFiles ? Verdict.Bad : Verdict.Look, $"only {files} more files can be made on the disk of {directory}", "Delete small files there; runs out before its room does.");
        foreach (var finding in Health(machine, disk.Device)) yield return finding;
    }

    private static Finding Room(DiskFacts disk, string directory)
    {
        var found = $"{Size(disk.FreeBytes)} of {Size(disk.TotalBytes)} free for {directory}";
        return disk.FreeBytes >= LittleRoom ? Finding.Good(Topic, found)
            : new(Topic, disk.FreeBytes < NoRoom ? Verdict.Bad : Verdict.Look, $"only {found}; {Size(LittleRoom)} is a good reserve for a night", "Free room, or choose another directory with --data.");
    }

    private static IEnumerable<Finding> Health(IMachine machine, string device)
    {
        // A partition lies in the directory of its disk.
        if (machine.RealPath($"/sys/dev/block/{device}") is not { } node) yield break;
        var name = Path.GetFileName(node);
        if (machine.Read($"/sys/fs/ext4/{name}/errors_count")?.Trim() is { } errors and not "0")
            yield return Finding.Bad(Topic, $"the file system on {name} counts {errors} errors", "Copy what is on it, unmount it and run fsck; replace the disk if they come back.");
        var disk = machine.Read($"{node}/partition") is null ? node : Path.GetDirectoryName(node)!;
        if (machine.Read($"{disk}/ro")?.Trim() == "1") yield return Finding.Bad(Topic, $"{Path.GetFileName(disk)} itself is write-protected", "Look at the lock on the card; a worn card also ends like this, and is then to be replaced.");
        if (machine.Read($"{disk}/device/type")?.Trim() is "SD")
        {
            yield return Finding.Look("card", $"{Path.GetFileName(disk)} is an SD card ({machine.Read($"{disk}/device/name")?.Trim()}), which tells nothing of its wear", "Keep copies: sweeprig archive write. For nights alone, an SSD as data directory is better.");
            yield break;
        }
        if (Wear(machine, disk) is { } wear) yield return wear;
    }

    // JESD84-B51, 7.4: PRE_EOL_INFO is 1 normal, 2 warning, 3 urgent; DEVICE_LIFE_TIME_EST_TYP_A and _B count tenths of the life used, 0x0B is past it.
    private static Finding? Wear(IMachine machine, string disk)
    {
        var reserve = Hex(machine.Read($"{disk}/device/pre_eol_info"));
        var used = (machine.Read($"{disk}/device/life_time") ?? "").Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(Hex).Max() ?? 0;
        if (used == 0 && reserve is null or 0) return null;
        var found = used > 10 ? $"{Path.GetFileName(disk)} is past its estimated life" : $"{Path.GetFileName(disk)} has used {Math.Max(0, used - 1) * 10} to {used * 10} % of its estimated life";
        return reserve is 3 || used > 10 ? Finding.Bad("card", found, "Copy what is on it, and replace it before a night alone.")
            : reserve is 2 || used > 8 ? Finding.Look("card", found, "Plan to replace it; keep copies: sweeprig archive write.")
            : Finding.Good("card", found);
    }

    private static int? Hex(string? text) =>
        text?.Trim() is ['0', 'x', .. var digits] && int.TryParse(digits, NumberStyles.HexNumber, CultureInfo.InvariantCulture, out var value) ? value : null;

    private static string Size(long bytes) => bytes >= 1L << 30
        ? (bytes / (double)(1L << 30)).ToString("0.0", CultureInfo.InvariantCulture) + " GiB"
        : (bytes / (double)(1L << 20)).ToString("0", CultureInfo.InvariantCulture) + " MiB";
}
