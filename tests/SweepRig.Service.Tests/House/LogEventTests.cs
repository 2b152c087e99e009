using System.Reflection;
using System.Text.RegularExpressions;
using SweepRig.Domain.Logging;

namespace SweepRig.Service.Tests.House;

/// <summary>Every line of the log that an operator may read has an id of its kind, and every id a meaning.</summary>
public sealed partial class LogEventTests
{
    private static readonly IReadOnlyDictionary<string, int> Ids = typeof(LogEvents).GetFields(BindingFlags.Public | BindingFlags.Static).Where(f => f.IsLiteral)
        .ToDictionary(f => f.Name, f => (int)f.GetRawConstantValue()!);

    [Fact]
    public void Each_id_is_given_once_and_explained_once()
    {
        Assert.NotEmpty(Ids);
        Assert.Equal(Ids.Values.Order(), LogEvents.All.Select(e => e.Id).Order());
        Assert.Equal(Ids.Count, Ids.Values.Distinct().Count());
        Assert.All(LogEvents.All, e => Assert.True(e.Meaning.EndsWith('.') && e.Remedy is null or { Length: > 10 }, $"{e.Id}"));
    }

    [Fact]
    public void Every_statement_that_logs_more_than_debugging_has_its_id()
    {
        var statements = SourceTree.Under("src/", ".cs").SelectMany(f => Statement().Matches(SourceTree.Read(f)).Select(m => (File: f, First: m.Groups[1].Value))).ToList();
        Assert.True(statements.Count > 30, $"{statements.Count} statements");
        var without = statements.Where(s => !s.First.StartsWith("LogEvents.", StringComparison.Ordinal)).Select(s => $"{s.File}: {s.First}...").ToList();
        Assert.True(without.Count == 0, $"Give each an id as its first argument, with its line in Domain/Logging/LogEvents: {string.Join("; ", without)}");
    }

    [Fact]
    public void No_id_is_without_a_statement()
    {
        var used = SourceTree.Under("src/", ".cs").SelectMany(f => Used().Matches(SourceTree.Read(f)).Select(m => m.Groups[1].Value)).ToHashSet();
        Assert.Empty(Ids.Keys.Except(used));
    }

    [GeneratedRegex(@"\bLog(?:Trace|Information|Warning|Error|Critical)\(\s*([\w.]*)")]
    private static partial Regex Statement();

    [GeneratedRegex(@"\bLogEvents\.(\w+)")]
    private static partial Regex Used();
}
