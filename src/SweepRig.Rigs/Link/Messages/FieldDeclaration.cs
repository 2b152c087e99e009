namespace SweepRig.Rigs.Link.Messages;

public enum FieldType
{
    U8,
    U16,
    U32,
    U64,
    I32,

    /// <summary>Printable ASCII (0x20 to 0x7E), filled up with 0x00.</summary>
    Text,
}

/// <summary>One field of a message as it travels: fixed width, little-endian, two's complement where signed.</summary>
/// <param name="Name">As in the tables of the specification.</param>
/// <param name="Type">Width and sign.</param>
/// <param name="Unit">Unit of one step; empty for a plain number.</param>
/// <param name="Min">Lowest value a peer may send.</param>
/// <param name="Max">Highest value a peer may send; for a text the width in bytes.</param>
/// <param name="Meaning">One phrase.</param>
/// <param name="OneOf">The only values allowed, where a range does not say it.</param>
public sealed record FieldDeclaration(string Name, FieldType Type, string Unit, long Min, long Max, string Meaning, long[]? OneOf = null)
{
    public int Bytes => Type switch
    {
        FieldType.U8 => 1,
        FieldType.U16 => 2,
        FieldType.U32 or FieldType.I32 => 4,
        FieldType.U64 => 8,
        FieldType.Text => (int)Max,
        _ => throw new InvalidOperationException($"SweepRig bug: field type {Type} has no width."),
    };

    public bool Allows(long value) => OneOf is null ? value >= Min && value <= Max : Array.IndexOf(OneOf, value) >= 0;

    /// <summary>The range as a person reads it, without the unit.</summary>
    public string Range => Type == FieldType.Text ? "ASCII" : OneOf is null ? $"{Min} to {Max}" : string.Join(", ", OneOf);
}
