using System.IO.Hashing;
using System.Text;

namespace SweepRig.Rigs.Tests.Link;

public class CrcTests
{
    /// <summary>
    /// CRC-32/ISO-HDLC: the check value over "123456789" is that of the published CRC catalogue (as restated by the crc and wire-codec crates on docs.rs);
    /// the others were computed independently with the catalogue's parameters.
    /// </summary>
    [Theory]
    [InlineData("313233343536373839", 0xCBF43926)]
    [InlineData("", 0x00000000)]
    [InlineData("00", 0xD202EF8D)]
    [InlineData("00000000", 0x2144DF1C)]
    public void Frame_check_is_the_catalogued_one(string hex, uint expected) =>
        Assert.Equal(expected, Crc32.HashToUInt32(Convert.FromHexString(hex)));

    /// <summary>CRC-32C and CRC-32/BZIP2 of the same catalogue share the width and are easily taken for it.</summary>
    [Theory]
    [InlineData(0xE3069283)]
    [InlineData(0xFC891918)]
    public void Frame_check_is_no_look_alike(uint other) =>
        Assert.NotEqual(other, Crc32.HashToUInt32(Encoding.ASCII.GetBytes("123456789")));
}
