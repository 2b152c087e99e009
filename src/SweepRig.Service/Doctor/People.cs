using System.Globalization;

namespace SweepRig.Service.Doctor;

/// <summary>Names of users and groups (passwd(5), group(5)), and what this process is of.</summary>
public sealed class People(IMachine machine)
{
    public string User(int id) => Name("/etc/passwd", id) ?? $"user {id}";

    public string Group(int id) => Name("/etc/group", id) ?? $"group {id}";

    public bool IsIn(int group) => Groups().Contains(group);

    /// <summary>True when this process may read and write what belongs so.</summary>
    public bool MayUse(FileOwner file)
    {
        if (machine.UserId == 0) return true;
        var shift = file.UserId == machine.UserId ? 6 : IsIn(file.GroupId) ? 3 : 0;
        return (file.Mode >> shift & 6) == 6;
    }

    // proc(5), /proc/[pid]/status: "Gid" has the real, effective, saved and file system group, "Groups" the others.
    private IEnumerable<int> Groups() => (machine.Read("/proc/self/status") ?? "").Split('\n')
        .Where(l => l.StartsWith("Groups:", StringComparison.Ordinal) || l.StartsWith("Gid:", StringComparison.Ordinal))
        .SelectMany(l => l[(l.IndexOf(':', StringComparison.Ordinal) + 1)..].Split([' ', '\t'], StringSplitOptions.RemoveEmptyEntries))
        .Select(t => int.TryParse(t, NumberStyles.None, CultureInfo.InvariantCulture, out var id) ? id : -1);

    private string? Name(string file, int id) => (machine.Read(file) ?? "").Split('\n')
        .Select(l => l.Split(':')).FirstOrDefault(f => f.Length > 2 && f[2] == id.ToString(CultureInfo.InvariantCulture))?[0];
}
