using SweepRig.Rigs.Serial;

namespace SweepRig.Rigs.Tests.Serial;

/// <summary>A directory in the shape of /proc (proc(5)), and the real one.</summary>
public sealed class PortHolderTests : IDisposable
{
    private readonly string directory = Directory.CreateTempSubdirectory("sweeprig-proc-").FullName;

    public void Dispose() => Directory.Delete(directory, recursive: true);

    [Fact]
    public void Who_has_the_device_open_is_named_also_by_a_link_to_it()
    {
        var device = Path.Combine(directory, "ttyUSB0");
        File.WriteAllText(device, "");
        var link = Path.Combine(directory, "by-id");
        File.CreateSymbolicLink(link, device);
        Process(41, "picocom", device);
        Process(42, "sleep", Path.Combine(directory, "other"));
        Process(43, "sweeprig", device);
        Directory.CreateDirectory(Path.Combine(directory, "self"));
        Assert.Equal([new(41, "picocom")], PortHolder.Of(link, directory, self: 43));
        Assert.Equal([new(41, "picocom"), new(43, "sweeprig")], PortHolder.Of(device, directory, self: 1));
    }

    [Fact]
    public void The_other_end_of_a_pseudo_terminal_is_no_holder()
    {
        Process(41, "rig", "/dev/pts/7", "/dev/pts/ptmx");
        Process(42, "sweeprig", "/dev/pts/7");
        Assert.Equal([new(42, "sweeprig")], PortHolder.Of("/dev/pts/7", directory, self: 1));
    }

    [Fact]
    public void Without_a_proc_nobody_is_known() => Assert.Empty(PortHolder.Of("/dev/null", Path.Combine(directory, "none"), 1));

    private void Process(int id, string name, params string[] opened)
    {
        var descriptors = Directory.CreateDirectory(Path.Combine(directory, $"{id}", "fd")).FullName;
        File.WriteAllText(Path.Combine(directory, $"{id}", "comm"), name + "\n");
        for (var i = 0; i < opened.Length; i++) File.CreateSymbolicLink(Path.Combine(descriptors, $"{i + 3}"), opened[i]);
    }
}
