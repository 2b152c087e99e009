using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rounds;

/// <summary>Where the words of whoever stands at the sockets come from.</summary>
public interface IHandWords
{
    /// <summary>Looked at a few times a second; never waits.</summary>
    /// <returns>A line for the round, null for nothing yet.</returns>
    string? Next(RoundView round);

    /// <summary>Nothing will come any more.</summary>
    bool HasEnded { get; }
}

/// <summary>The hands of the simulated rig: they do what is asked, each tube in the same time, keep every type, and release every trip whose cause is gone.</summary>
public sealed class PracticeHands(TimeProvider time, TimeSpan each) : IHandWords
{
    private static readonly TimeSpan BetweenReleases = TimeSpan.FromSeconds(1);

    private (string? Tube, int? Socket) _at;
    private long _since, _releasedAt;

    public bool HasEnded => false;

    public string? Next(RoundView round)
    {
        ArgumentNullException.ThrowIfNull(round);
        var ask = round.Asks[0];
        if (ask.Kind == "answer") return ask.Entries[0];
        if (ask.Kind == "mend")
        {
            // A trip whose cause is still there is not released by asking often.
            if (ask.Entries.Length == 0 || time.GetElapsedTime(_releasedAt) < BetweenReleases) return null;
            _releasedAt = time.GetTimestamp();
            return ask.Entries[0];
        }
        if (ask.Kind != "place") return null;
        if ((ask.Tube, ask.Socket) != _at) (_at, _since) = ((ask.Tube, ask.Socket), time.GetTimestamp());
        return time.GetElapsedTime(_since) >= each ? "" : null;
    }
}

/// <summary>A person at a keyboard or scanner, or lines from a file. Enter waits until something is asked for, so that lines may come early.</summary>
public sealed class TypedWords(TextReader input) : IHandWords
{
    private Task<string?>? _reading;

    public bool HasEnded { get; private set; }

    public string? Next(RoundView round)
    {
        ArgumentNullException.ThrowIfNull(round);
        if (HasEnded) return null;
        // A task of its own: a terminal reads a line at a time and holds up whoever waits for it.
        _reading ??= Task.Run(input.ReadLine);
        if (!_reading.IsCompletedSuccessfully) return null;
        var line = _reading.Result;
        if (line is null)
        {
            HasEnded = true;
            return null;
        }
        if (line.Trim().Length == 0 && round.Asks[0].Kind == "wait") return null;
        _reading = null;
        return line;
    }
}
