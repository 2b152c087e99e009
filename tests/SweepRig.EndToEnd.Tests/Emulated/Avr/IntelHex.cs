using System.Globalization;

namespace SweepRig.EndToEnd.Tests.Emulated.Avr;

/// <summary>Reads a file in Intel's hexadecimal object format (specification revision A, 1988): data and end records, as avr-objcopy writes them for 32 KB.</summary>
internal static class IntelHex
{
    private const int Data = 0;
    private const int End = 1;

    /// <returns>Bytes from address 0 to the last one given; what is left out is 0xFF, as erased flash is.</returns>
    /// <exception cref="FormatException">A record is damaged or of a kind that flash of 32 KB does not need.</exception>
    public static byte[] Read(string path)
    {
        List<byte> flash = [];
        foreach (var line in File.ReadLines(path))
        {
            if (line.Length < 11 || line[0] != ':') throw new FormatException($"{path}: '{line}' is no record.");
            var record = Convert.FromHexString(line.AsSpan(1));
            if (record.Sum(b => b) % 256 != 0) throw new FormatException($"{path}: the checksum of '{line}' is wrong.");
            if (record[3] == End) return [.. flash];
            if (record[3] != Data) throw new FormatException(string.Create(CultureInfo.InvariantCulture, $"{path}: a record of kind {record[3]} is not expected."));
            var address = record[1] << 8 | record[2];
            while (flash.Count < address + record[0]) flash.Add(0xFF);
            for (var i = 0; i < record[0]; i++) flash[address + i] = record[4 + i];
        }
        throw new FormatException($"{path}: the end record is missing.");
    }
}
