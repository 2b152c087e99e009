using System.Globalization;
using System.Text;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Tests.Link;

/// <summary>The tables of <c>firmware-notes/link-protocol.md</c>, made from the declarations. SpecificationTests keeps the document equal to them.</summary>
internal static class MessageTables
{
    /// <summary>All messages in Markdown, each with its fields, offsets in the payload and ranges.</summary>
    public static string Write()
    {
        var text = new StringBuilder();
        foreach (var message in LinkMessages.All) Write(text, message);
        return text.ToString();
    }

    private static void Write(StringBuilder text, MessageDeclaration message)
    {
        var sender = message.Direction == MessageDirection.HostToRig ? "host to rig" : "rig to host";
        var answer = message.IsRequest ? ", answered" : "";
        text.Append(CultureInfo.InvariantCulture, $"### {message.Number} {message.Name} ({sender}{answer})\n\n{message.Meaning}\n\n");
        if (message.Fields.Length == 0)
        {
            text.Append("No payload.\n\n");
            return;
        }
        Rows(text, message.Fields, "offset");
        if (message.Records.Length == 0) return;
        var tail = message == LinkMessages.Samples ? ", then 2 for each channel of the mask" : "";
        text.Append(CultureInfo.InvariantCulture, $"Then `count` records of {message.RecordBytes} bytes{tail}:\n\n");
        Rows(text, message.Records, "offset in the record");
    }

    private static void Rows(StringBuilder text, FieldDeclaration[] fields, string offset)
    {
        text.Append(CultureInfo.InvariantCulture, $"| {offset} | field | type | unit | range | meaning |\n| --- | --- | --- | --- | --- | --- |\n");
        var at = 0;
        foreach (var field in fields)
        {
            var type = field.Type == FieldType.Text ? $"text {field.Bytes}" : field.Type.ToString().ToLowerInvariant();
            text.Append(CultureInfo.InvariantCulture, $"| {at} | {field.Name} | {type} | {field.Unit} | {field.Range} | {field.Meaning} |\n");
            at += field.Bytes;
        }
        text.Append('\n');
    }
}
