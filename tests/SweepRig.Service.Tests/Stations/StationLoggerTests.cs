using Microsoft.Extensions.Logging;
using SweepRig.Service.Stations;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Stations;

public sealed class StationLoggerTests
{
    [Fact]
    public void A_line_names_its_rig_and_keeps_its_values()
    {
        var kept = new Kept();
        var logger = new StationLogger<SweepRunner>(kept, "left");
        logger.Log(LogLevel.Warning, new EventId(7), "31 mA", null, (measured, _) => $"Trip: grid current {measured}");
        Assert.Equal([(LogLevel.Warning, 7, "31 mA", "rig left: Trip: grid current 31 mA")], kept.Lines);
    }

    private sealed class Kept : ILogger
    {
        public List<(LogLevel Level, int Id, object? State, string Text)> Lines { get; } = [];

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) =>
            Lines.Add((logLevel, eventId.Id, state, formatter(state, exception)));
    }
}
