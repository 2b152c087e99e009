using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;

namespace SweepRig.Storage.Moving;

/// <summary>SHA-256 over the values of a table, row by row in the order of its key: equal for equal content, in whichever database it is.</summary>
internal sealed class TableHash : IDisposable
{
    private readonly IncrementalHash _hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);

    public long Rows { get; private set; }

    public void Add(object?[] row)
    {
        Span<byte> head = stackalloc byte[5];
        foreach (var value in row)
        {
            // Kind and length before the bytes: no two rows are written alike.
            var (kind, bytes) = value switch
            {
                null => ((byte)0, []),
                long whole => ((byte)1, Whole(whole)),
                double real => ((byte)2, Whole(BitConverter.DoubleToInt64Bits(real))),
                string text => ((byte)3, Encoding.UTF8.GetBytes(text)),
                byte[] raw => ((byte)4, raw),
                _ => throw new InvalidOperationException($"SweepRig bug: a store holds a value of {value.GetType()}."),
            };
            head[0] = kind;
            BinaryPrimitives.WriteInt32LittleEndian(head[1..], bytes.Length);
            _hash.AppendData(head);
            _hash.AppendData(bytes);
        }
        Rows++;
    }

    /// <summary>As hex digits; begins anew with it.</summary>
    public string Finish() => Convert.ToHexStringLower(_hash.GetHashAndReset());

    public void Dispose() => _hash.Dispose();

    private static byte[] Whole(long value)
    {
        var bytes = new byte[8];
        BinaryPrimitives.WriteInt64LittleEndian(bytes, value);
        return bytes;
    }
}
