using SweepRig.Service.Doctor;

namespace SweepRig.Service.Tests.Doctor;

/// <summary>A computer of the test's making. User 1000, "wren", of the group "wren" alone.</summary>
internal sealed class FakeMachine : IMachine
{
    public Dictionary<string, string> Files { get; } = new()
    {
        ["/etc/passwd"] = "root:x:0:0:root:/root:/bin/bash\nwren:x:1000:1000::/home/wren:/bin/bash\nsweeprig:x:990:990::/var/lib/sweeprig:/usr/sbin/nologin\n",
        ["/etc/group"] = "root:x:0:\ndialout:x:20:\nwren:x:1000:\n",
        ["/proc/self/status"] = "Name:\tsweeprig\nGid:\t1000\t1000\t1000\t1000\nGroups:\t1000 24 \n",
        ["/proc/meminfo"] = "MemTotal:        3884388 kB\nMemFree:          112340 kB\nMemAvailable:    2906112 kB\n",
    };

    public Dictionary<string, string[]> Directories { get; } = [];

    public Dictionary<string, string> Links { get; } = [];

    public Dictionary<string, FileOwner> Owners { get; } = new() { ["/data"] = new(1000, 1000, 0b111_101_101), ["/"] = new(0, 0, 0b111_101_101) };

    public DiskFacts Disk { get; set; } = new(31L << 30, 12L << 30, 1_900_000, false, "179:2");

    public KernelClock? Kernel { get; set; } = new(true, TimeSpan.FromMilliseconds(12.5));

    public (TimeSpan Took, string? Fault) Written { get; set; } = (TimeSpan.FromMilliseconds(4.2), null);

    public int UserId { get; set; } = 1000;

    public string? Read(string path) => Files.GetValueOrDefault(path);

    public IReadOnlyList<string> List(string directory) => Directories.GetValueOrDefault(directory) ?? [];

    public string? RealPath(string path) => Links.GetValueOrDefault(path);

    public FileOwner? OwnerOf(string path) => Owners.GetValueOrDefault(path);

    public DiskFacts? DiskOf(string path) => Owners.ContainsKey(path) ? Disk : null;

    public KernelClock? Clock() => Kernel;

    public (TimeSpan Took, string? Fault) WriteDurably(string directory) => Written;
}
