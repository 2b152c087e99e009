using SweepRig.Sweeps.Interlocks.Invariants;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Wire.Exploration;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>
/// Every step of every state and event spoilt in every way: how often each statement says so, against <c>spoilt-steps.txt</c>. A statement that has become weaker or stronger changes a
/// count. Written anew with SWEEPRIG_WRITE_OUTCOMES=1; which cases are meant is told by <see cref="StepInvariantTests"/>.
/// </summary>
public sealed class SpoiltStepTests
{
    private static readonly string[] Ways =
    [
        "as it is", "orders turned round", "no orders", "safe only", "recorded again", "other cause", "healed", "armed", "armed at 0 V", "not armed", "release asked", "permit", "permit kept",
        "permit longer", "permit shorter", "permit for more", "nothing done", "link forgotten", "waits for a release", "safe as well", "another trip on record", "attended limits",
    ];

    [Fact]
    public void Every_statement_is_broken_by_as_many_spoilt_steps_as_stand_in_the_table()
    {
        var ends = InterlockTableTests.States["permitted"].Permit!.EndsUtc;
        var lines = new List<string>();
        foreach (var way in Ways)
        {
            var counts = StepInvariants.All.ToDictionary(i => i.Name, _ => 0);
            foreach (var (_, before) in OutcomeTableTests.States)
                foreach (var (_, happened) in OutcomeTableTests.Events)
                    foreach (var now in new[] { ends.AddMinutes(-4), ends })
                    {
                        var right = InterlockMachine.Next(before, happened, now);
                        // Some ways speak of a trip, where there is none.
                        if (way is "recorded again" or "other cause" or "another trip on record" && (before.Trip ?? right.State.Trip) is null) continue;
                        var moment = new InterlockMoment(before, happened, StepInvariantTests.Spoil(right, before, way), now);
                        foreach (var invariant in StepInvariants.All)
                            if (!invariant.Holds(moment)) counts[invariant.Name]++;
                    }
            lines.Add(way);
            lines.AddRange(counts.Where(c => c.Value > 0).Select(c => $"  {c.Key} {c.Value}"));
        }
        var file = Path.Combine(FirmwareLibrary.Root(), "tests/SweepRig.Sweeps.Tests/Interlocks/spoilt-steps.txt");
        if (Environment.GetEnvironmentVariable("SWEEPRIG_WRITE_OUTCOMES") == "1") File.WriteAllLines(file, lines);
        Assert.Equal(File.ReadAllLines(file), lines);
        Assert.Equal("as it is", lines[0]);
        Assert.Equal(Ways[1], lines[1]);
    }
}
