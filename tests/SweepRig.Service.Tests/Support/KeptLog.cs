using Microsoft.Extensions.Logging;

namespace SweepRig.Service.Tests.Support;

/// <summary>Keeps what was logged.</summary>
internal sealed class KeptLog : ILogger
{
    private readonly List<(int Id, string Message)> _lines = [];

    public IReadOnlyList<(int Id, string Message)> Lines
    {
        get
        {
            lock (_lines) return [.. _lines];
        }
    }

    public IDisposable? BeginScope<TState>(TState state)
        where TState : notnull => null;

    public bool IsEnabled(LogLevel logLevel) => true;

    public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
    {
        lock (_lines) _lines.Add((eventId.Id, formatter(state, exception)));
    }
}
