namespace SweepRig.Rigs.Link;

/// <summary>A way to a rig that can be opened again and again.</summary>
public interface IRigPort
{
    /// <summary>For people, for example <c>/dev/ttyUSB0 at 115200 baud</c>.</summary>
    string Name { get; }

    /// <summary>Opens it. Disposing the stream closes it at once; a pending read then ends or fails.</summary>
    /// <exception cref="RigPortException">It cannot be opened.</exception>
    ValueTask<Stream> OpenAsync(CancellationToken cancellationToken);
}

/// <summary>A port that cannot be opened. The message names the port, what is wrong and the remedy.</summary>
public sealed class RigPortException : IOException
{
    public RigPortException(string message)
        : base(message)
    {
    }

    public RigPortException(string message, Exception inner)
        : base(message, inner)
    {
    }
}
