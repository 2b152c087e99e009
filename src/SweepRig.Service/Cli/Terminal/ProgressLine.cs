using System.Globalization;

namespace SweepRig.Service.Cli.Terminal;

/// <summary>
/// How far long work has come, on one line of standard error that is gone when the work is done. Nothing is shown where nobody reads along, and nothing of work that takes less
/// than a second.
/// </summary>
public sealed class ProgressLine(CliTerminal terminal, TimeProvider clock, string what) : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(1), Between = TimeSpan.FromMilliseconds(200);

    private readonly long _began = clock.GetTimestamp();
    private TimeSpan _shown;
    private int _width;

    /// <summary>With the time left, by how long it took so far.</summary>
    public void Show(int done, int of)
    {
        var passed = clock.GetElapsedTime(_began);
        if (passed < Patience || passed - _shown < Between) return;
        var left = done == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $", about {Math.Ceiling(passed.TotalSeconds * (of - done) / done):0} s left");
        Write(string.Create(CultureInfo.InvariantCulture, $"{what}: {done} of {of}{left}"));
        _shown = passed;
    }

    /// <summary>A step whose length nobody knows.</summary>
    public void Say(string doing)
    {
        if (clock.GetElapsedTime(_began) >= Patience) Write(doing + " ...");
    }

    public void Dispose() => Write("");

    private void Write(string text)
    {
        if (!terminal.ErrorIsTerminal || (text.Length == 0 && _width == 0)) return;
        terminal.Error.Write("\r" + text.PadRight(_width) + (text.Length == 0 ? "\r" : ""));
        terminal.Error.Flush();
        _width = text.Length;
    }
}
