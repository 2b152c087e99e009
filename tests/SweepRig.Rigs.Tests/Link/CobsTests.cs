using CsCheck;
using SweepRig.Rigs.Link;

namespace SweepRig.Rigs.Tests.Link;

public class CobsTests
{
    /// <summary>
    /// Example table of the encyclopaedia article on consistent overhead byte stuffing, which follows Cheshire and Baker (1999), without the ending 00.
    /// First = raw, second = encoded; a run is written as first..last.
    /// </summary>
    public static TheoryData<string, string> Published => new()
    {
        { "", "01" },
        { "00", "01 01" },
        { "00 00", "01 01 01" },
        { "00 11 00", "01 02 11 01" },
        { "11 22 00 33", "03 11 22 02 33" },
        { "11 22 33 44", "05 11 22 33 44" },
        { "11 00 00 00", "02 11 01 01 01" },
        { "01..FE", "FF 01..FE" },
        { "00 01..FE", "01 FF 01..FE" },
        { "01..FF", "FF 01..FE 02 FF" },
        { "02..FF 00", "FF 02..FF 01 01" },
        { "03..FF 00 01", "FE 03..FF 02 01" },
    };

    [Theory]
    [MemberData(nameof(Published))]
    public void Published_vectors_hold_both_ways(string raw, string encoded)
    {
        Assert.Equal(Hex.Parse(encoded), Encode(Hex.Parse(raw)));
        Assert.Equal(Hex.Parse(raw), Decode(Hex.Parse(encoded)));
    }

    /// <summary>After a full run at the end some encoders add 01; a decoder takes both.</summary>
    [Fact]
    public void Superfluous_code_after_a_full_run_is_accepted() => Assert.Equal(Hex.Parse("01..FE"), Decode(Hex.Parse("FF 01..FE 01")));

    [Theory]
    [InlineData("")]
    [InlineData("00")]
    [InlineData("02")]
    [InlineData("05 11 22 33")]
    [InlineData("03 11 00")]
    [InlineData("03 11 22 00")]
    public void Impossible_input_is_refused(string encoded) => Assert.Null(Decode(Hex.Parse(encoded)));

    [Fact]
    public void What_does_not_fit_is_refused()
    {
        Assert.False(Cobs.TryDecode(Hex.Parse("05 11 22 33 44"), new byte[3], out _));
        Assert.False(Cobs.TryDecode(Hex.Parse("01 01 01"), new byte[1], out _));
    }

    [Fact]
    public void Any_bytes_survive_and_no_zero_is_left() =>
        Gen.Byte.Select(b => b < 90 ? (byte)0 : b).Array[0, 700].Sample(raw =>
        {
            var encoded = Encode(raw);
            return !encoded.Contains((byte)0) && encoded.Length <= Cobs.MaxEncodedBytes(raw.Length) && Decode(encoded)!.SequenceEqual(raw);
        });

    [Fact]
    public void Long_runs_survive() =>
        Gen.Byte[1, 255].Array[240, 800].Sample(raw => Decode(Encode(raw))!.SequenceEqual(raw));

    private static byte[] Encode(byte[] raw)
    {
        var destination = new byte[Cobs.MaxEncodedBytes(raw.Length)];
        return destination[..Cobs.Encode(raw, destination)];
    }

    private static byte[]? Decode(byte[] encoded)
    {
        var destination = new byte[encoded.Length];
        return Cobs.TryDecode(encoded, destination, out var length) ? destination[..length] : null;
    }
}
