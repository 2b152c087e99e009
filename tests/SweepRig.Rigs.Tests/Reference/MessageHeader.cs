using System.Globalization;
using System.Text;
using SweepRig.Domain.Interlocks;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Tests.Reference;

/// <summary>The declarations of the link as a C header for the reference firmware: numbers, payloads, lengths, ranges, causes, reasons.</summary>
internal static class MessageHeader
{
    private static readonly StringBuilder Text = new();

    public static string Write()
    {
        Text.Clear();
        Line("/* Made from src/SweepRig.Rigs/Link/Messages/LinkMessages.cs. Do not edit: a test of tests/SweepRig.Rigs.Tests/Reference writes it anew. Long because it is the whole protocol in one table. */");
        Line("#ifndef MESSAGES_H\n#define MESSAGES_H\n\n#include <stdint.h>\n");
        Line($"enum {{ LINK_VERSION = {LinkProtocol.Version}, PAYLOAD_MAX = {LinkProtocol.MaxPayloadBytes} }};\n");
        Enum("Numbers of the messages.", LinkMessages.All.Select(m => ($"MESSAGE_{Upper(m.Name)}", (long)m.Number)));
        Line("/* Payloads as they travel; a machine with another byte order needs another way to read them. */");
        Line("_Static_assert(__BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__, \"payloads are little-endian\");");
        foreach (var message in LinkMessages.All)
        {
            Struct(Lower(message.Name), message.Fields);
            Struct($"{Lower(message.Name)}_record", message.Records);
        }
        Line("");
        Enum("Causes of a trip that travel.", System.Enum.GetValues<TripCause>().Where(c => (int)c < 64).Select(c => ($"CAUSE_{Upper(c.ToString())}", (long)c)));
        Enum("Reasons of a refusal.", System.Enum.GetValues<NackReason>().Select(r => ($"NACK_{Upper(r.ToString())}", (long)r)));
        Line("/* What a host may send: X(number, bytes, 1 if it is answered). */\n#define HOST_MESSAGES(X) \\");
        foreach (var m in FromHost) Line($"    X({m.Number}, {m.FixedBytes}, {(m.IsRequest ? 1 : 0)}){(m == FromHost[^1] ? "\n" : " \\")}");
        Ranges();
        Line("/* Every field: X(message, number, field, offset, type, bytes). */\n#define ALL_FIELDS(X) \\");
        foreach (var message in LinkMessages.All)
        {
            var at = 0;
            foreach (var field in message.Fields)
            {
                var end = message == LinkMessages.All[^1] && field == message.Fields[^1] ? "\n" : " \\";
                Line($"    X({message.Name}, {message.Number}, {field.Name}, {at}, {field.Type}, {field.Bytes}){end}");
                at += field.Bytes;
            }
        }
        Line("#endif");
        return Text.ToString();
    }

    private static MessageDeclaration[] FromHost { get; } = [.. LinkMessages.All.Where(m => m.Direction == MessageDirection.HostToRig)];

    private static void Ranges()
    {
        Line("/* Ranges narrower than the field in what a host may send: X(number, offset, bytes, kind, largest). A field from -largest on is signed;");
        Line(" * for one of several values these are the bytes of `largest`. */");
        Line("enum { RANGE_FROM_0, RANGE_FROM_1, RANGE_FROM_MINUS, RANGE_ONE_OF };\n#define HOST_RANGES(X) \\");
        var rows = new List<string>();
        foreach (var message in FromHost)
        {
            var at = 0;
            foreach (var field in message.Fields)
            {
                if (Range(field) is { } range) rows.Add($"    X({message.Number}, {at}, {field.Bytes}, {range})");
                at += field.Bytes;
            }
        }
        Line(string.Join(" \\\n", rows) + "\n");
    }

    private static string? Range(FieldDeclaration field)
    {
        var widest = field.Type == FieldType.I32 ? int.MaxValue : (1L << (8 * field.Bytes)) - 1;
        if (field.OneOf is { } values)
        {
            if (field.Bytes != 1 || values.Length > 4) throw new InvalidOperationException($"SweepRig bug: {field.Name} has values that the header cannot hold.");
            var all = Enumerable.Range(0, 4).Sum(i => values[Math.Min(i, values.Length - 1)] << (8 * i));
            return string.Create(CultureInfo.InvariantCulture, $"RANGE_ONE_OF, 0x{all:X8}UL");
        }
        var kind = field.Min switch
        {
            0 => "RANGE_FROM_0",
            1 => "RANGE_FROM_1",
            _ when field.Min == -field.Max => "RANGE_FROM_MINUS",
            _ => throw new InvalidOperationException($"SweepRig bug: {field.Name} has a range that the header cannot hold."),
        };
        return kind == "RANGE_FROM_0" && field.Max == widest && field.Type != FieldType.I32 ? null : string.Create(CultureInfo.InvariantCulture, $"{kind}, {field.Max}UL");
    }

    private static void Struct(string name, FieldDeclaration[] fields)
    {
        if (fields.Length == 0) return;
        Line($"struct message_{name} {{");
        foreach (var field in fields) Line($"    {Member(field)};");
        Line($"}} __attribute__((packed));\n_Static_assert(sizeof(struct message_{name}) == {fields.Sum(f => f.Bytes)}, \"{name}\");");
    }

    private static string Member(FieldDeclaration field) => field.Type switch
    {
        FieldType.Text => $"char {Lower(field.Name)}[{field.Bytes}]",
        FieldType.I32 => $"int32_t {Lower(field.Name)}",
        _ => $"uint{8 * field.Bytes}_t {Lower(field.Name)}",
    };

    private static void Enum(string meaning, IEnumerable<(string Name, long Value)> items)
    {
        Line($"/* {meaning} */\nenum {{");
        foreach (var (name, value) in items) Line($"    {name} = {value},");
        Line("};\n");
    }

    private static string Upper(string name) =>
        string.Concat(name.Select((c, i) => char.IsUpper(c) && i > 0 ? $"_{c}" : char.ToUpperInvariant(c).ToString(CultureInfo.InvariantCulture)));

    private static string Lower(string name) => Upper(name).ToLowerInvariant();

    private static void Line(FormattableString text) => Line(FormattableString.Invariant(text));

    private static void Line(string text) => Text.Append(text).Append('\n');
}
