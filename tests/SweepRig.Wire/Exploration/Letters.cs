namespace SweepRig.Wire.Exploration;

/// <summary>Up to four numbers of words in the order in which they were sent, as one value.</summary>
internal readonly record struct Letters(ulong Packed)
{
    public const int Room = 4;

    public bool IsEmpty => Packed == 0;

    /// <summary>The oldest; 0 for none.</summary>
    public int First => (int)(Packed & 0xFFFF);

    public Letters Rest => new(Packed >> 16);

    public int Count
    {
        get
        {
            var count = 0;
            for (var left = Packed; left != 0; left >>= 16) count++;
            return count;
        }
    }

    /// <summary>With one more at the end; without room the line loses the oldest.</summary>
    public Letters With(int word)
    {
        if (word is <= 0 or > ushort.MaxValue) throw new InvalidOperationException($"The exploration has met {word} different messages, more than it can number.");
        var kept = Count == Room ? Rest : this;
        return new(kept.Packed | ((ulong)word << (16 * kept.Count)));
    }

    public Letters Map(Func<int, int> change)
    {
        var mapped = new Letters(0);
        for (var left = this; !left.IsEmpty; left = left.Rest) mapped = mapped.With(change(left.First));
        return mapped;
    }
}
