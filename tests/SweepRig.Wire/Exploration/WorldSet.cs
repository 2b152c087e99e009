using System.Numerics;

namespace SweepRig.Wire.Exploration;

/// <summary>A world in 128 bits, exactly: two are the same when the worlds are.</summary>
internal readonly record struct PackedWorld(ulong High, ulong Low);

/// <summary>
/// Worlds that have been met, in the order in which they were, with the way to each: 16 bytes a world, five for its way, two for what was used on it, and a place in an open table.
/// No hash stands in for a world, so that none is taken for another.
/// </summary>
internal sealed class WorldSet
{
    private const int ChunkBits = 20, Chunk = 1 << ChunkBits;

    private readonly List<Entry[]> _entries = [];
    private int[] _places = new int[1 << 16];

    public int Count { get; private set; }

    public PackedWorld this[int number] => At(number).World;

    public (int From, byte By) WayTo(int number) => (At(number).From, At(number).By);

    /// <summary>Marks of the budgets with which it has been reached.</summary>
    public ref ushort Used(int number) => ref At(number).Used;

    /// <returns>Its number; one that is new gets the next.</returns>
    public int Of(PackedWorld world, int from, byte by)
    {
        if (Count >= _places.Length / 8 * 5) Grow();
        var place = PlaceOf(world);
        if (_places[place] != 0) return _places[place] - 1;
        if (Count >> ChunkBits == _entries.Count) _entries.Add(GC.AllocateUninitializedArray<Entry>(Chunk));
        At(Count) = new() { World = world, From = from, By = by };
        _places[place] = ++Count;
        return Count - 1;
    }

    public int? Find(PackedWorld world) => _places[PlaceOf(world)] is > 0 and var found ? found - 1 : null;

    private ref Entry At(int number) => ref _entries[number >> ChunkBits][number & (Chunk - 1)];

    /// <summary>Where it is, or where it would be.</summary>
    private int PlaceOf(PackedWorld world)
    {
        var mask = _places.Length - 1;
        var place = (int)Mixed(world) & mask;
        while (_places[place] is var number && number != 0 && At(number - 1).World != world) place = (place + 1) & mask;
        return place;
    }

    private static ulong Mixed(PackedWorld world)
    {
        var high = Math.BigMul(world.High ^ 0x9E3779B97F4A7C15, world.Low ^ 0xD1B54A32D192ED03, out var low);
        return BitOperations.RotateLeft(high ^ low ^ world.Low, 29) * 0x9FB21C651E98DF25 >> 20;
    }

    private void Grow()
    {
        _places = new int[_places.Length * 2];
        for (var i = 0; i < Count; i++) _places[PlaceOf(At(i).World)] = i + 1;
    }

    private struct Entry
    {
        public PackedWorld World;
        public int From;
        public ushort Used;
        public byte By;
    }
}
