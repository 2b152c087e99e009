namespace SweepRig.Rigs.Simulated.Firmware;

/// <summary>Where the session puts its frames.</summary>
internal interface IWire
{
    /// <param name="frame">One frame as it goes over the wire, its 0x00 included.</param>
    /// <param name="isAnswer">True for Ack and Nack.</param>
    void Send(ReadOnlySpan<byte> frame, bool isAnswer);

    /// <summary>A new session: what is still waiting to be sent belongs to nobody.</summary>
    void Forget();
}
