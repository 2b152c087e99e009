using SweepRig.Domain.Runs;
using SweepRig.Rigs;

namespace SweepRig.Sweeps.Running;

/// <summary>Which points of a pass have arrived, and what must be run to get the others.</summary>
internal sealed class PassTracker(RigProgram program)
{
    /// <summary>Segments that one program may have.</summary>
    private const int MaxSegments = 64;

    private readonly bool[] _arrived = new bool[program.Points];

    public int Arrived { get; private set; }

    /// <summary>Frames of the program under way.</summary>
    public int Frames { get; private set; }

    /// <summary>Frames known to be lost over the whole pass.</summary>
    public int FramesLost { get; private set; }

    /// <returns>Points that had not arrived before.</returns>
    public int Note(SampleBlock block)
    {
        Frames++;
        var fresh = 0;
        foreach (var point in block.PointIndex)
        {
            if (point >= _arrived.Length || _arrived[point]) continue;
            _arrived[point] = true;
            fresh++;
        }
        Arrived += fresh;
        return fresh;
    }

    /// <param name="framesSent">As the rig counted them.</param>
    public void ProgramEnded(int framesSent)
    {
        FramesLost += Math.Max(0, framesSent - Frames);
        Frames = 0;
    }

    public IReadOnlyList<(int First, int Points)> Missing()
    {
        var ranges = new List<(int, int)>();
        for (var point = 0; point < _arrived.Length; point++)
        {
            if (_arrived[point]) continue;
            var first = point;
            while (point < _arrived.Length && !_arrived[point]) point++;
            ranges.Add((first, point - first));
        }
        return ranges;
    }

    /// <summary>Programs that measure the missing points again, under their own numbers and with the very same codes.</summary>
    public IReadOnlyList<RigProgram> Again()
    {
        var segments = new List<RigSegment>();
        foreach (var (first, points) in Missing()) Cover(first, points, segments);
        return [.. segments.Chunk(MaxSegments).Select(s => program with { Segments = s })];
    }

    private void Cover(int first, int points, List<RigSegment> segments)
    {
        var segment = new RigSegment(program.CodeAt(first), program.CodeAt(first + points - 1), points, first);
        if (SameCodes(segment))
        {
            segments.Add(segment);
            return;
        }
        // Rounding falls differently on a part of a ramp than on the whole; halves agree sooner or later, single points always.
        Cover(first, points / 2, segments);
        Cover(first + points / 2, points - points / 2, segments);
    }

    private bool SameCodes(RigSegment segment)
    {
        for (var i = 0; i < segment.Points; i++)
            if (segment.CodeAt(i) != program.CodeAt(segment.FirstPoint + i)) return false;
        return true;
    }
}
