namespace SweepRig.Rigs.Bus;

/// <summary>A chip on the bus that does not do its part. The message names the chip and the remedy; the session with the rig ends.</summary>
public sealed class BusFaultException : IOException
{
    public BusFaultException(string message)
        : base(message)
    {
    }

    public BusFaultException(string message, Exception inner)
        : base(message, inner)
    {
    }
}
