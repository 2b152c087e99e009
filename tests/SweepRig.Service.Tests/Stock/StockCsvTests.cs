using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Service.Stock.Csv;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Stock;

public sealed class StockCsvTests
{
    private static readonly DateTimeOffset Now = new(2026, 3, 14, 9, 0, 0, TimeSpan.Zero);

    // RFC 4180, section 2: lines end with CRLF (1), a header may stand first (3), fields with line breaks, quotes or commas are quoted (6), a quote in one is doubled (7).
    [Fact]
    public void What_is_written_follows_RFC_4180_and_is_read_back_to_the_last_change()
    {
        var lot = new Lot("Petrel, mixed \"box\"", "PETREL", null, "coast radio, \"north\"", "40 EUR", null, Now.AddTicks(1234567));
        StockTube tube = Changed(StockTube.Booked("PETREL-007", lot.Name, Now.AddTicks(7)),
            new(TubeChangeKind.Identified, "12AX7", Now.AddDays(1)), new(TubeChangeKind.Noted, "says \"Tern\", faded", Now.AddDays(2)),
            new(TubeChangeKind.PutToUse, "clock", Now.AddDays(3)), new(TubeChangeKind.TakenOut, "swapped", Now.AddDays(4)), new(TubeChangeKind.Retired, "white getter", Now.AddDays(5)));
        using var text = new StringWriter();
        Assert.Equal(7, StockCsv.Write(text, [lot], [tube]));
        var lines = text.ToString().Split("\r\n");
        Assert.DoesNotContain('\n', text.ToString().Replace("\r\n", "", StringComparison.Ordinal));
        Assert.Equal("tube,lot,change,text,at,lot type,origin,price,lot note,lot booked", lines[0]);
        Assert.StartsWith("PETREL-007,\"Petrel, mixed \"\"box\"\"\",booked in,", lines[1], StringComparison.Ordinal);
        Assert.Contains("\"says \"\"Tern\"\", faded\"", lines[3], StringComparison.Ordinal);

        var read = Read(text.ToString()).Value!;
        Assert.Equal(lot, Assert.Single(read.Lots));
        Assert.Equal(tube.History, Assert.Single(read.Tubes).History);
        using var again = new StringWriter();
        StockCsv.Write(again, read.Lots, read.Tubes);
        Assert.Equal(text.ToString(), again.ToString());
    }

    [Fact]
    public void A_plain_list_makes_new_tubes_with_what_it_says()
    {
        var read = Read("Tube,Lot,Type,Place\nterns-001,Terns,ecc83,\"drawer 3, left\"\nTERNS-002,Terns,,\n").Value!;
        Assert.Equal("TERNS", Assert.Single(read.Lots).Prefix);
        Assert.Equal(["TERNS-001", "TERNS-002"], read.Tubes.Select(t => t.Label));
        Assert.Equal(("ECC83", "drawer 3, left", TubeState.New), (read.Tubes[0].TypeName, read.Tubes[0].Location, read.Tubes[0].State));
        Assert.Null(read.Tubes[1].TypeName);
    }

    [Theory]
    [InlineData("", "csv-empty", "")]
    [InlineData("tube,lot\n", "csv-no-tubes", "")]
    [InlineData("tube;lot\nA-001;A\n", "wrong-columns", "line 1")]
    [InlineData("tube,box\nA-001,A\n", "wrong-columns", "line 1")]
    [InlineData("tube,tube,lot\nA-001,A-001,A\n", "wrong-columns", "line 1")]
    [InlineData("tube,lot\nA-001\n", "wrong-columns", "line 2")]
    [InlineData("tube,lot\nA-001,A\n\nA-002,A,x\n", "wrong-columns", "line 4")]
    [InlineData("tube,lot\n,A\n", "field-missing", "line 2")]
    [InlineData("tube,lot\nA-001,A\na-001,A\n", "number-twice", "line 3")]
    [InlineData("tube,lot\nA-001,A\nB-001,A\n", "number-of-another-lot", "line 3")]
    [InlineData("tube,lot\nA-001,A\nA-002,B\n", "number-of-another-lot", "line 3")]
    [InlineData("tube,lot\nA-1,A\n", "number-of-another-lot", "line 2")]
    [InlineData("tube,lot\nA-01\"4,A\n", "bad-quote", "line 2")]
    [InlineData("tube,lot,origin\nA-001,A,coast\nA-002,A,island\n", "lot-told-twice", "line 3")]
    [InlineData("tube,lot,change,text,at\nA-001,A,graded,first,2026-03-14T09:00:00Z\n", "not-booked-in", "line 2")]
    [InlineData("tube,lot,change,text,at\nA-001,A,booked in,A,yesterday\n", "bad-time", "line 2")]
    [InlineData("tube,lot,change,text,at\nA-001,A,lost,A,2026-03-14T09:00:00Z\n", "change-unknown", "line 2")]
    [InlineData("tube,lot,change,text,at\nA-001,A,booked in,A,2026-03-14T09:00:00Z\nA-001,A,taken out,x,2026-03-15T09:00:00Z\n", "tube-not-in-use", "line 3")]
    [InlineData("tube,lot,change,text,at\nA-001,A,booked in,A,2026-03-14T09:00:00Z\nA-001,B,noted,x,2026-03-15T09:00:00Z\n", "number-of-another-lot", "line 3")]
    public void What_is_wrong_is_told_with_its_line(string csv, string code, string path)
    {
        var refusal = Assert.Single(Read(csv).Refusals);
        Assert.Equal((code, path), (refusal.Code, refusal.Path));
        Assert.NotEmpty(refusal.Remedy);
    }

    [Fact]
    public void A_field_without_end_is_not_read_to_the_end()
    {
        using var text = new EndlessCsv("tube,lot\n\"", _ => "x");
        Assert.Equal("csv-field-too-long", Assert.Single(StockCsvReader.Read(text, t => t, Now).Refusals).Code);
        Assert.InRange(text.Given, 1_000, 100_000);
    }

    [Fact]
    public void Of_ten_million_lines_only_those_up_to_the_limit_are_read()
    {
        using var text = new EndlessCsv("tube,lot,change,text,at\n", n => FormattableString.Invariant($"A-{n % 9_000 + 1:000},A,{(n < 9_000 ? "booked in" : "noted")},x,2026-03-14T09:00:00Z\n"));
        var refusal = Assert.Single(StockCsvReader.Read(text, t => t, Now).Refusals);
        Assert.Equal("csv-too-long", refusal.Code);
        Assert.Contains("200000 lines", refusal.Asked, StringComparison.Ordinal);
        Assert.InRange(text.Lines, 200_000, 205_000);
    }

    [Fact]
    public void A_history_without_end_of_one_tube_is_refused()
    {
        var csv = "tube,lot,change,text,at\nA-001,A,booked in,A,2026-03-14T09:00:00Z\n" + string.Concat(Enumerable.Repeat("A-001,A,noted,x,2026-03-14T09:00:00Z\n", StockCsvReader.MostChanges));
        Assert.Equal("history-too-long", Assert.Single(Read(csv).Refusals).Code);
    }

    [Fact]
    public void Many_faults_are_told_up_to_a_limit()
    {
        var refusals = Read("tube,lot\n" + string.Concat(Enumerable.Range(0, 100).Select(_ => ",A\n"))).Refusals;
        Assert.Equal(StockCsvReader.MostFaults + 1, refusals.Count);
        Assert.Equal("csv-more-faults", refusals[^1].Code);
    }

    private static Outcome<StockToCome> Read(string csv)
    {
        using var reader = new StringReader(csv);
        return StockCsvReader.Read(reader, t => t.ToUpperInvariant(), Now);
    }

    private static StockTube Changed(StockTube tube, params TubeChange[] changes) => changes.Aggregate(tube, (t, c) => t.After(c).Value!);

    /// <summary>A head, and then line after line without end; counts what was taken of it.</summary>
    private sealed class EndlessCsv(string head, Func<long, string> line) : TextReader
    {
        private string _now = head;
        private int _at;

        public long Given { get; private set; }

        public long Lines { get; private set; }

        public override int Read(char[] buffer, int index, int count)
        {
            for (var i = 0; i < count; i++, Given++)
            {
                if (_at == _now.Length) (_now, _at) = (line(Lines++), 0);
                buffer[index + i] = _now[_at++];
            }
            return count;
        }

        public override int Read(Span<char> buffer)
        {
            var taken = new char[buffer.Length];
            var read = Read(taken, 0, taken.Length);
            taken.CopyTo(buffer);
            return read;
        }
    }
}
