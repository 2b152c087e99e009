namespace SweepRig.Analysis.Families;

/// <summary>Which drives of a surface are worth a line: round ones, whose lines stand apart. Pure.</summary>
public static class FamilyLines
{
    /// <summary>Fewest lines that are taken for a picture of the whole.</summary>
    private const int Enough = 6;

    /// <summary>Least distance of two lines, and of the lowest from the axis, as a part of the greatest current.</summary>
    private const double LeastApart = 0.03;

    /// <summary>Drives in volts, ascending; multiples of the coarsest round step that gives them.</summary>
    public static IReadOnlyList<double> Drives(PlateSurface surface)
    {
        ArgumentNullException.ThrowIfNull(surface);
        List<double> best = [];
        foreach (var step in (double[])[1, 0.5, 0.2, 0.1])
        {
            var found = Apart(surface, step);
            if (found.Count >= Enough) return found;
            if (found.Count > best.Count) best = found;
        }
        return best;
    }

    private static List<double> Apart(PlateSurface surface, double step)
    {
        var first = (int)Math.Ceiling(surface.Drives[0] / step);
        var last = (int)Math.Floor(surface.Drives[^1] / step);
        var greatest = Enumerable.Range(first, Math.Max(0, last - first + 1))
            .Select(i => (Drive: Math.Round(i * step, 1), Amps: surface.AtDrive(i * step) is { Count: >= 2 } line ? line.Max(p => p.PlateAmps) : double.NaN))
            .Where(l => double.IsFinite(l.Amps)).ToArray();
        if (greatest.Length == 0) return [];
        var apart = LeastApart * greatest.Max(l => l.Amps);
        var kept = new List<double>();
        var before = 0.0;
        foreach (var (drive, amps) in greatest)
        {
            // Far positive the lines lie upon one another; below cut-off they lie on the axis.
            if (amps < before + apart) continue;
            kept.Add(drive);
            before = amps;
        }
        return kept;
    }
}
