namespace SweepRig.Service.Cli.Benches;

/// <summary>The running service does not answer, or not as it should. The message is one line for the operator, with the remedy.</summary>
public sealed class BenchUnreachableException : IOException
{
    public BenchUnreachableException(string message)
        : base(message)
    {
    }

    public BenchUnreachableException(string message, Exception inner)
        : base(message, inner)
    {
    }
}
