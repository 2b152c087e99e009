using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.EndToEnd.Tests.Emulated.Probe;
using SweepRig.EndToEnd.Tests.Emulated.Rigs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.EndToEnd.Tests.Emulated.Cases;

/// <summary>The rig starts anew in the middle of a pass: the drive is safe whatever it was, and the host can tell what happened.</summary>
public sealed class ResetCases
{
    public static TheoryData<RigKind, ResetReason, TripCause> Resets { get; } = new MatrixOfResets();

    [Theory]
    [MemberData(nameof(Resets))]
    public async Task A_reset_in_a_pass_leaves_drive_and_rail_safe_and_is_told(RigKind kind, ResetReason reason, TripCause cause)
    {
        await using var bench = await ProbedRig.StartAsync(kind);
        var before = await Passes.ReadyAsync(bench.Host);
        await Passes.StartAsync(bench.Host, 1, 0, 5, 1_000, 2_000);
        await Passes.RunningAsync(bench.Host, 1);
        Assert.False(bench.Rig.Journal.IsSafe);

        bench.Rig.Restart(reason);

        await bench.Rig.UntilSafeAsync(2);
        await bench.Rig.RestartedAsync(2, reason);
        // The process is a new one with a new pseudo-terminal, as a board on USB would be; the others keep their line.
        await using var after = await bench.AnotherHostAsync(afterRestart: true);
        var identity = await after.HelloAsync();
        Assert.Equal(reason, identity.LastReset);
        Assert.NotEqual(before.Boot, identity.Boot);
        Assert.True(identity.TimeMicroseconds < 10_000_000);
        var status = await after.StatusAsync();
        Assert.True(status.Flags.HasFlag(StatusFlags.Latched));
        Assert.Equal(cause, status.Cause);
        Assert.Equal(Passes.Code(-14), status.DriveCode);
        Assert.False(status.Flags.HasFlag(StatusFlags.HeaterOn) || status.Flags.HasFlag(StatusFlags.PlateRailOn));
        Assert.Null(await after.ReleaseAsync());
        Assert.True(bench.Rig.Journal.IsSafe);
    }

    private sealed class MatrixOfResets : TheoryData<RigKind, ResetReason, TripCause>
    {
        public MatrixOfResets()
        {
            foreach (var kind in Enum.GetValues<RigKind>())
            {
                Add(kind, ResetReason.BrownOut, TripCause.BrownOut);
                Add(kind, ResetReason.Watchdog, TripCause.Watchdog);
                Add(kind, ResetReason.External, TripCause.PowerUp);
            }
        }
    }
}
