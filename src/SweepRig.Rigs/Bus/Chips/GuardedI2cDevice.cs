using System.Device.I2c;

namespace SweepRig.Rigs.Bus.Chips;

/// <summary>An I2C device that names itself when it fails, and that ends a wait of the library which has lasted too long.</summary>
/// <param name="inner">The real one; not disposed from here.</param>
/// <param name="name">For people, for example <c>the ADS1115 of plate and grid at 0x48</c>.</param>
/// <param name="time">Clock of the deadline.</param>
internal sealed class GuardedI2cDevice(I2cDevice inner, string name, TimeProvider time) : I2cDevice
{
    /// <summary>
    /// Transactions that are let through although they are late: the system may have taken the processor away for longer than any deadline, and the chip was ready all
    /// the while. One more poll and the reading of its result are three.
    /// </summary>
    private const int LateOnes = 4;

    private int _late;
    private long _since;
    private TimeSpan _within = Timeout.InfiniteTimeSpan;
    private string _what = "";

    public string Name => name;

    public override I2cConnectionSettings ConnectionSettings => inner.ConnectionSettings;

    /// <summary>From now on transactions later than this fail, but for the first few. Ends with <see cref="Forever"/>.</summary>
    public void Within(TimeSpan limit, string what) => (_since, _within, _what, _late) = (time.GetTimestamp(), limit, what, 0);

    public void Forever() => _within = Timeout.InfiniteTimeSpan;

    public override void Read(Span<byte> buffer)
    {
        ThrowIfLate();
        try
        {
            inner.Read(buffer);
        }
        catch (IOException fault)
        {
            throw Silent(fault);
        }
    }

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        ThrowIfLate();
        try
        {
            inner.Write(buffer);
        }
        catch (IOException fault)
        {
            throw Silent(fault);
        }
    }

    public override void WriteRead(ReadOnlySpan<byte> writeBuffer, Span<byte> readBuffer)
    {
        ThrowIfLate();
        try
        {
            inner.WriteRead(writeBuffer, readBuffer);
        }
        catch (IOException fault)
        {
            throw Silent(fault);
        }
    }

    /// <summary>Answers, and is not what it should be.</summary>
    public BusFaultException Wrong(string found) =>
        new($"{Sentence(name)} {found}. Check that this chip is what sits at that address, and its supply.");

    private BusFaultException Silent(IOException fault) =>
        new($"{Sentence(name)} does not answer ({fault.Message.TrimEnd('.')}). Check its wiring, its supply and its address.", fault);

    private void ThrowIfLate()
    {
        if (_within != Timeout.InfiniteTimeSpan && time.GetElapsedTime(_since) > _within && ++_late > LateOnes)
            throw new BusFaultException($"{Sentence(name)} did not {_what} within {_within.TotalMilliseconds:0.#} ms. Check its supply, and the I2C lines for one that is stuck.");
    }

    private static string Sentence(string text) => char.ToUpperInvariant(text[0]) + text[1..];
}
