using SweepRig.Domain;
using SweepRig.Service.Hosting;
using SweepRig.Service.Stations;

namespace SweepRig.Service.Tests.Stations;

public sealed class RigChoicesTests
{
    [Theory]
    [InlineData("left")]
    [InlineData("rig-2")]
    [InlineData("abcdefghijklmnopqrstuvwxyz012345")]
    public void Names_that_stand_in_an_address_as_they_are_are_taken(string name) => Assert.Empty(RigChoices.Faults([new(name)]));

    [Theory]
    [InlineData("")]
    [InlineData("Left")]
    [InlineData("rig 2")]
    [InlineData("rig/2")]
    [InlineData("größe")]
    [InlineData("abcdefghijklmnopqrstuvwxyz0123456")]
    public void Other_names_are_refused_with_limit_and_remedy(string name)
    {
        var fault = Assert.Single(RigChoices.Faults([new(name)]));
        Assert.Equal(("rig-name-bad", "/rigs/0/name"), (fault.Code, fault.Path));
        Assert.Contains("32", fault.Allowed, StringComparison.Ordinal);
        Assert.NotEqual("", fault.Remedy);
    }

    [Fact]
    public void Eight_rigs_are_taken_and_nine_are_not()
    {
        RigChoice[] nine = [.. Enumerable.Range(0, 9).Select(i => new RigChoice(StationName.Usual(i)))];
        Assert.Empty(RigChoices.Faults(nine[..8]));
        Assert.Equal("rigs-too-many", Assert.Single(RigChoices.Faults(nine)).Code);
    }

    [Fact]
    public void The_second_of_two_rigs_with_one_name_is_refused() =>
        Assert.Equal(("rig-name-twice", "/rigs/2/name"), Code(RigChoices.Faults([new("left"), new("right"), new("left")])));

    [Fact]
    public void The_second_of_two_rigs_on_one_port_is_refused_and_both_are_named()
    {
        var fault = Assert.Single(RigChoices.Faults([new("left") { Port = "/dev/ttyUSB7" }, new("right") { Port = "/dev/../dev/ttyUSB7" }]));
        Assert.Equal(("rig-port-twice", "/rigs/1/port"), (fault.Code, fault.Path));
        Assert.Contains("right", fault.Asked, StringComparison.Ordinal);
        Assert.Contains("left", fault.Allowed, StringComparison.Ordinal);
    }

    [Fact]
    public void A_link_to_a_port_is_that_port()
    {
        var directory = Directory.CreateTempSubdirectory("sweeprig-").FullName;
        try
        {
            var (device, link) = (Path.Combine(directory, "ttyUSB0"), Path.Combine(directory, "by-id"));
            File.WriteAllText(device, "");
            File.CreateSymbolicLink(link, device);
            Assert.Equal(("rig-port-twice", "/rigs/1/port"), Code(RigChoices.Faults([new("left") { Port = device }, new("right") { Port = link }])));
        }
        finally
        {
            Directory.Delete(directory, recursive: true);
        }
    }

    [Fact]
    public void A_bench_does_not_start_with_rigs_that_are_in_each_others_way()
    {
        var fault = Assert.Throws<BenchStartException>(() => WebHost.Build(new BenchOptions { DataDirectory = "unused", Rigs = [new("left") { Port = "/dev/ttyUSB7" }, new("right") { Port = "/dev/ttyUSB7" }] }));
        Assert.True(fault.BadInput);
        Assert.Contains("/dev/ttyUSB7", fault.Message, StringComparison.Ordinal);
    }

    private static (string Code, string Path) Code(IReadOnlyList<Refusal> faults) => (Assert.Single(faults).Code, faults[0].Path);
}
