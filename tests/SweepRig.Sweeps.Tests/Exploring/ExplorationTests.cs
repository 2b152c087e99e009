using SweepRig.Benchmarks.Mutations;
using SweepRig.Wire.Exploration;

namespace SweepRig.Sweeps.Tests.Exploring;

/// <summary>
/// Firmware core, a bad line and the host's interlocks explored together: what is right breaks no invariant, what is wrong is found. <c>tests/figures interlock-exploration</c>
/// goes further and plants more.
/// </summary>
public sealed class ExplorationTests
{
    /// <summary>Without faults and incidents, however deep; and all ways of six events with one of each.</summary>
    [Theory]
    [InlineData(0, 0, Bounds.Unbounded, 50_000)]
    [InlineData(1, 1, 6, 200_000)]
    public void No_invariant_is_broken_within_the_bounds(int faults, int incidents, int depth, int atLeast)
    {
        var found = Explore(FirmwareLibrary.Build(), new(faults, incidents, depth, 4_000_000));
        Assert.True(found.Broken is null, found.Broken?.ToString());
        // Neither given up before its bounds nor about nothing.
        Assert.True(found.IsWhole && found.IsClosed == (faults + incidents == 0) && found.States > atLeast, $"{found}");
    }

    public static TheoryData<string> HostFaultNames
    {
        get
        {
            var data = new TheoryData<string>();
            foreach (var name in HostFaults.All.Keys) data.Add(name);
            return data;
        }
    }

    [Theory]
    [MemberData(nameof(HostFaultNames))]
    public void A_fault_of_the_host_is_found(string fault) => Assert.NotNull(Explore(FirmwareLibrary.Build(), new(1, 1, 6, 2_000_000), HostFaults.All[fault]).Broken);

    /// <summary>Some of those that the figure plants: the lease, the release of another firing, the emergency stop, a program behind the latch.</summary>
    [Theory]
    [InlineData("F7", "safe-after-silence")]
    [InlineData("F12", "latch-opens-by-release")]
    [InlineData("F15", "broken-limit-latches")]
    [InlineData("F21", "safe-while-latched")]
    public void A_protection_missing_from_the_firmware_is_found(string row, string invariant)
    {
        var mutation = Rows().Single(m => m.Id == row);
        var copy = Directory.CreateTempSubdirectory("sweeprig-explored-");
        try
        {
            var broken = Explore(FirmwareLibrary.BuildChanged(copy.FullName, mutation.File, mutation.Apply), new(1, 1, 5, 4_000_000)).Broken;
            Assert.Equal(invariant, broken?.Invariant);
            Assert.NotEmpty(broken!.Way);
        }
        finally
        {
            copy.Delete(recursive: true);
        }
    }

    [Fact]
    public void Every_row_of_the_firmware_is_among_those_that_are_found_or_says_why_not() =>
        Assert.Equal(Rows().Select(m => m.Id).Order(), FirmwareRows.Found.Concat(FirmwareRows.FoundDeep).Concat(FirmwareRows.NotFound.Keys).Order());

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void The_fixed_form_of_a_state_does_all_that_the_state_does(int seed) => Assert.Null(CanonicalWalk.Parts(FirmwareLibrary.Build(), seed, 10_000));

    private static IEnumerable<Mutation> Rows() => Mutation.Read(File.ReadAllText(Path.Combine(FirmwareLibrary.Root(), Mutation.List)))
        .Where(m => m.File.StartsWith("firmware-notes/reference/core/", StringComparison.Ordinal));

    private static Explored Explore(string library, Bounds bounds, HostFaults.Machine? machine = null)
    {
        using var explorer = new Explorer(library, machine);
        return explorer.Run(bounds);
    }
}
