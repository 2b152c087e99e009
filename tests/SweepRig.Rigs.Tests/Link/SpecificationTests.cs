using System.Globalization;
using System.Text.RegularExpressions;
using SweepRig.Domain.Interlocks;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Host;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Tests.Support;

namespace SweepRig.Rigs.Tests.Link;

/// <summary>What <c>firmware-notes/link-protocol.md</c> says is what the program does: tables, numbers and every worked frame.</summary>
public partial class SpecificationTests
{
    private static readonly string Path = Repository.At("firmware-notes", "link-protocol.md");
    private static readonly string Document = File.ReadAllText(Path);

    /// <summary>A worked frame: a heading line, the bytes, and the fields.</summary>
    public static TheoryData<string, string, string> Frames
    {
        get
        {
            var data = new TheoryData<string, string, string>();
            foreach (Match m in WorkedFrame().Matches(Document)) data.Add(m.Groups["name"].Value, m.Groups["hex"].Value, m.Groups["fields"].Value);
            return data;
        }
    }

    [Fact]
    public void The_tables_are_those_of_the_declarations()
    {
        var expected = $"<!-- messages: made from LinkMessages -->\n\n{MessageTables.Write()}<!-- end of messages -->";
        if (Document.Contains(expected, StringComparison.Ordinal)) return;
        var wanted = System.IO.Path.Combine(AppContext.BaseDirectory, "link-messages.md");
        File.WriteAllText(wanted, expected);
        Assert.Fail($"The tables in {Path} are not those of LinkMessages. Put the text of {wanted} there.");
    }

    [Fact]
    public void The_worked_frames_cover_the_protocol()
    {
        var shown = Frames.Select(row => row.Data.Item1).ToHashSet();
        Assert.Superset(new HashSet<string> { "Hello", "Ack", "Nack", "Limits", "ProgramBegin", "ProgramSegment", "Renew", "Release", "Identity", "Status", "Samples", "Tripped" }, shown);
    }

    [Theory]
    [MemberData(nameof(Frames))]
    public void A_worked_frame_decodes_to_its_fields_and_encodes_back(string name, string hex, string fields)
    {
        var wire = Hex.Parse(hex.ReplaceLineEndings(" "));
        var declaration = LinkMessages.All.Single(m => m.Name == name);
        var said = FieldLine().Matches(fields).ToDictionary(m => m.Groups[1].Value, m => m.Groups[2].Value.Trim());

        ReadOnlySpan<byte> input = wire;
        Assert.Equal(ReadResult.Frame, new FrameReader().Next(ref input, out var frame));
        Assert.Equal((LinkProtocol.Version, (int)declaration.Number), (frame.Version, frame.Type));
        Assert.Equal(said["sequence"], frame.Sequence.ToString(CultureInfo.InvariantCulture));
        var reader = new FieldReader(declaration, frame.Payload);
        foreach (var field in declaration.Fields)
        {
            var value = field.Type == FieldType.Text ? reader.NextText() : reader.Next().ToString(CultureInfo.InvariantCulture);
            Assert.True(said[field.Name] == value, $"{name}.{field.Name} is {value}; the document says {said[field.Name]}.");
        }
        Assert.Null(reader.Fault);
        Assert.Equal(declaration.Fields.Length + 1 + (declaration.Records.Length > 0 ? 1 : 0), said.Count);
        if (declaration == LinkMessages.Samples) Assert.Equal(said["records"], Hex.Write(frame.Payload[declaration.FixedBytes..]));

        // And from the fields of the document back to the bytes of the document.
        Assert.Equal(Hex.Write(wire), Hex.Write(Encode(declaration, said)));
    }

    [Fact]
    public void Timing_figures_are_those_of_the_program()
    {
        foreach (var sentence in (string[])
        [
            $"renews the lease every {LinkProtocol.RenewPeriod.TotalMilliseconds} ms",
            $"within {LinkProtocol.AnswerTimeout.TotalMilliseconds} ms",
            $"{LinkProtocol.Attempts} times in all",
            $"{LinkProtocol.Silence.TotalMilliseconds} ms without a good frame",
            $"at most {LinkProtocol.FrameHold.TotalMilliseconds} ms",
            $"every {LinkProtocol.StatusPeriod.TotalMilliseconds} ms",
            $"at most {LinkProtocol.MaxFrameBytes} bytes",
            "0xCBF43926",
        ])
        {
            Assert.Contains(sentence, Document, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Every_cause_that_travels_is_listed_with_its_unit()
    {
        foreach (var cause in Enum.GetValues<TripCause>().Where(c => (int)c < 64))
        {
            var unit = LinkFigures.OfCause(cause) switch
            {
                { Unit: "V" } => "uV",
                { Unit: "A" } => "nA",
                { Unit: "s" } => "ms",
                { Unit: "C" } => "uC",
                null => "none",
                _ => "?",
            };
            Assert.Matches($@"\| {(int)cause} \| {Regex.Escape(cause.ToString())} \| {unit} \|", Document);
        }
    }

    [Fact]
    public void Every_reason_for_a_refusal_is_listed()
    {
        foreach (var reason in Enum.GetValues<NackReason>()) Assert.Matches($@"\| {(int)reason} \| {reason} \|", Document);
    }

    private static byte[] Encode(MessageDeclaration declaration, Dictionary<string, string> said)
    {
        var payload = new byte[LinkProtocol.MaxPayloadBytes];
        var writer = new FieldWriter(declaration, payload);
        foreach (var field in declaration.Fields)
        {
            if (field.Type == FieldType.Text) writer.Put(said[field.Name]);
            else writer.Put(long.Parse(said[field.Name], CultureInfo.InvariantCulture));
        }
        Assert.Null(writer.Fault);
        byte[] records = said.TryGetValue("records", out var text) ? Hex.Parse(text) : [];
        var wire = new byte[LinkProtocol.MaxWireBytes];
        var sequence = byte.Parse(said["sequence"], CultureInfo.InvariantCulture);
        return wire[..FrameWriter.Write(declaration, sequence, [.. payload.AsSpan(0, writer.Written), .. records], wire)];
    }

    [GeneratedRegex(@"^```frame (?<name>\w+)\n(?<hex>(?:[0-9A-F]{2}[ \n])+)(?<fields>(?:\w+ = .*\n)+)```", RegexOptions.Multiline)]
    private static partial Regex WorkedFrame();

    [GeneratedRegex(@"^(\w+) = (.*)$", RegexOptions.Multiline)]
    private static partial Regex FieldLine();
}
