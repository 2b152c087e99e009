using System.Globalization;

namespace SweepRig.Service.Doctor;

/// <summary>The data directory: whose it is, and whether what is written there stays.</summary>
public static class DataChecks
{
    /// <summary>A write that lasts this long holds up what is shown, not what is measured. Common practice, no source: sound SD cards stay below 50 ms.</summary>
    private static readonly TimeSpan Slow = TimeSpan.FromMilliseconds(200);

    private const string Topic = "data";

    public static IEnumerable<Finding> Of(IMachine machine, string directory)
    {
        if (machine.OwnerOf(directory) is not { } owner)
        {
            yield return Finding.Look(Topic, $"{directory} does not exist yet", "Nothing: it is made when something is recorded. If you expected runs, name their directory with --data.");
            yield break;
        }
        var people = new People(machine);
        if (owner.UserId != machine.UserId && machine.UserId != 0)
        {
            yield return Finding.Bad(
                Topic, $"{directory} belongs to {people.User(owner.UserId)}, and this is {people.User(machine.UserId)}",
                $"Run as {people.User(owner.UserId)}, or give the directory to {people.User(machine.UserId)} (sudo chown -R), or choose another with --data.");
        }
        else if (owner.UserId != machine.UserId)
        {
            yield return Finding.Look(
                Topic, $"{directory} belongs to {people.User(owner.UserId)}, and this is root",
                $"Run sweeprig as {people.User(owner.UserId)}: files that root makes there shut that user out.");
        }
        // Bits for writing of the group and of all others.
        if ((owner.Mode & 2) != 0) yield return Finding.Look(Topic, $"{directory} may be written by everybody (mode {Convert.ToString(owner.Mode, 8)})", "Take that away: chmod o-w.");
        yield return Written(machine, directory);
    }

    private static Finding Written(IMachine machine, string directory)
    {
        var (took, fault) = machine.WriteDurably(directory);
        var milliseconds = took.TotalMilliseconds.ToString("0.0", CultureInfo.InvariantCulture);
        if (fault is not null) return Finding.Bad(Topic, $"{directory} cannot be written ({fault})", "Nothing can be recorded. Mend the disk or its permissions, or choose another directory with --data.");
        return took > Slow
            ? Finding.Look(Topic, $"{directory} takes {milliseconds} ms until a write is on the disk; {Slow.TotalMilliseconds:0} ms is slow", "Look at what else uses that disk; an old SD card gets slow before it fails.")
            : Finding.Good(Topic, $"{directory}: a write is on the disk after {milliseconds} ms");
    }
}
