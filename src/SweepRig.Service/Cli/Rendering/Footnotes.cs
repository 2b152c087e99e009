namespace SweepRig.Service.Cli.Rendering;

/// <summary>Numbers remarks in the order they first appear; the same remark keeps its number.</summary>
/// <param name="shared">Remarks that hold for everything and are said once, without a number.</param>
public sealed class Footnotes(params IReadOnlyList<string> shared)
{
    private const string Between = "; ";

    private readonly List<string> _remarks = [];

    public IReadOnlyList<string> Shared => shared;

    /// <summary>A figure's remarks, which come as one text.</summary>
    public static string[] Parts(string? remarks) => string.IsNullOrEmpty(remarks) ? [] : remarks.Split(Between);

    /// <returns>The mark to put behind a cell, for example <c> [2]</c>; empty for no remark of its own.</returns>
    public string Mark(string? remarks)
    {
        var own = string.Join(Between, Parts(remarks).Except(shared));
        if (own.Length == 0) return "";
        var at = _remarks.IndexOf(own);
        if (at < 0)
        {
            _remarks.Add(own);
            at = _remarks.Count - 1;
        }
        return $" [{at + 1}]";
    }

    public IEnumerable<string> Lines() => _remarks.Select((remark, i) => $"[{i + 1}] {remark}");
}
