using SweepRig.Rigs.Serial;

namespace SweepRig.Service.Doctor;

/// <summary>Serial ports: which are there, whether this user may open them, and who has them.</summary>
public static class PortChecks
{
    private const string Topic = "port";

    /// <param name="asked">The port that was named; null for all that are present.</param>
    /// <param name="present">The ports of this computer.</param>
    /// <param name="holders">Who has a port open.</param>
    /// <param name="serviceId">Process of the running service; null for none.</param>
    public static IEnumerable<Finding> Of(IMachine machine, string? asked, IReadOnlyList<PresentPort> present, Func<string, IReadOnlyList<PortHolder>> holders, int? serviceId)
    {
        var ports = asked is null ? present : [present.FirstOrDefault(p => p.Path == asked || p.Stable == asked) ?? new(asked, null)];
        if (ports.Count == 0)
            yield return Finding.Look(Topic, "no serial port is present", "Plug the rig in. The simulated rig and a rig on a direct bus need none.");
        foreach (var port in ports)
            foreach (var finding in Of(machine, port, present, holders, serviceId)) yield return finding;
        if (ports.Count > 0 && machine.List("/proc").Any(p => char.IsAsciiDigit(p[0]) && machine.Read($"/proc/{p}/comm")?.Trim() == "ModemManager"))
            yield return Finding.Look(Topic, "ModemManager runs, and tries modem commands on every serial port that is plugged in", "Keep it off the rig's port by the udev rule that sweeprig service udev-rule prints, or remove it.");
    }

    private static IEnumerable<Finding> Of(IMachine machine, PresentPort port, IReadOnlyList<PresentPort> present, Func<string, IReadOnlyList<PortHolder>> holders, int? serviceId)
    {
        if (machine.OwnerOf(port.Path) is not { } owner)
        {
            var others = present.Count == 0 ? "No serial port is present" : $"Present: {string.Join(", ", present.Select(p => p.Path))}";
            yield return Finding.Bad(Topic, $"there is no {port.Path}", $"{others}. Check the name and the cable.");
            yield break;
        }
        var people = new People(machine);
        if (!people.MayUse(owner))
        {
            var group = people.Group(owner.GroupId);
            yield return Finding.Bad(
                Topic, $"{port.Path} belongs to {people.User(owner.UserId)} and group {group}, and {people.User(machine.UserId)} may not open it",
                owner.GroupId == 0 ? "Install the udev rule that sweeprig service udev-rule prints." : $"Join the group, then log in again: sudo usermod -aG {group} {people.User(machine.UserId)}.");
            yield break;
        }
        var all = holders(port.Path);
        var strangers = all.Where(h => h.ProcessId != serviceId).ToArray();
        if (strangers.Length > 0)
            yield return Finding.Bad(Topic, $"{port.Path} is in use by {string.Join(" and ", strangers.Select(h => h.ToString()))}", "Close it there; one program at a time drives a rig.");
        else
            yield return Finding.Good(Topic, $"{port.Path} may be opened{(all.Count > 0 ? "; the running service has it" : "")}{(port.Stable is { } stable ? $"; its lasting name is {stable}" : "")}");
    }
}
