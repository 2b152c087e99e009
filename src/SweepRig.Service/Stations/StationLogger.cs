namespace SweepRig.Service.Stations;

/// <summary>Says in every line which of several rigs it is about.</summary>
public sealed class StationLogger<T>(ILogger inner, string station) : ILogger<T>
{
    public IDisposable? BeginScope<TState>(TState state)
        where TState : notnull => inner.BeginScope(state);

    public bool IsEnabled(LogLevel logLevel) => inner.IsEnabled(logLevel);

    public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) =>
        inner.Log(logLevel, eventId, state, exception, (s, e) => $"rig {station}: {formatter(s, e)}");
}
