namespace SweepRig.Nights;

/// <summary>Permits of one rig as somebody beside the bench sees them: when each was first there and when it was gone. Times in microseconds of the trial.</summary>
internal sealed class PermitHistory(TimeSpan kept)
{
    private readonly List<Entry> _entries = [];

    private sealed record Entry(Guid Id, double Ceiling, long From)
    {
        public long To { get; set; } = long.MaxValue;
    }

    /// <summary>What is in force now.</summary>
    /// <param name="permit">Null for none.</param>
    public void See(Guid? permit, double ceiling, long now)
    {
        if (_entries is [.., { To: long.MaxValue } last])
        {
            if (last.Id == permit) return;
            last.To = now;
        }
        if (permit is { } id) _entries.Add(new(id, ceiling, now));
        _entries.RemoveAll(e => e.To != long.MaxValue && now - e.To > kept.TotalMicroseconds);
    }

    /// <summary>Highest drive that anything permitted at a moment, or not longer ago than the grace; 0 without a permit.</summary>
    public double CeilingAt(long at, long grace) => _entries.Where(e => e.From <= at && at <= (e.To == long.MaxValue ? long.MaxValue : e.To + grace)).Select(e => e.Ceiling).DefaultIfEmpty(0).Max();
}
