using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Service.Contract;
using SweepRig.Storage;

namespace SweepRig.Service.Stock.Csv;

/// <summary>Takes rows one after another and builds the tubes that they tell of, each through its own rules.</summary>
internal sealed class StockRowReader(CsvColumns columns, Func<string, string> typeName, DateTimeOffset now)
{
    private static readonly Dictionary<string, TubeChangeKind> Kinds = Enum.GetValues<TubeChangeKind>().ToDictionary(StockWords.Word);

    private readonly Dictionary<string, Lot> _lots = new(StringComparer.Ordinal);
    private readonly Dictionary<string, (StockTube Tube, int Line)> _tubes = new(StringComparer.Ordinal);

    public List<Refusal> Faults { get; } = [];

    public Outcome<StockToCome> End() => _tubes.Count == 0
        ? Outcome<StockToCome>.Refuse(new Refusal("csv-no-tubes", "", "the table has a header and no tubes", "a line for each tube, or each change of one, is needed", "Check that this is the right file."))
        : Outcome<StockToCome>.Accept(new([.. _lots.Values], [.. _tubes.Values.Select(t => t.Tube)]));

    public void Take(string[] row, int line)
    {
        if (row.Length != columns.Count)
        {
            Refuse("wrong-columns", line, $"the line has {row.Length} fields", $"the header has {columns.Count}", "Put a field that has commas in quotation marks.");
            return;
        }
        var (typed, lotName) = (columns.Field(row, StockCsv.Tube), columns.Field(row, StockCsv.LotName));
        if (typed is null || lotName is null)
        {
            Refuse("field-missing", line, $"the {(typed is null ? StockCsv.Tube : StockCsv.LotName)} is missing", "each line names a tube and its lot", "Fill it in, or delete the line.");
            return;
        }
        var label = TubeNumber.Of(typed).Label;
        if (columns.HasHistory) Changed(row, line, label, lotName);
        else Listed(row, line, label, lotName);
    }

    private void Listed(string[] row, int line, string label, string lotName)
    {
        if (_tubes.TryGetValue(label, out var before))
        {
            Refuse("number-twice", line, $"{label} comes in again", $"it stands in line {before.Line} already", "Give one of the two another number.");
            return;
        }
        if (LotOf(row, line, label, lotName, now) is null) return;
        var changes = new[] { (TubeChangeKind.Identified, columns.Field(row, StockCsv.Type) is { } t ? typeName(t) : null), (TubeChangeKind.Moved, columns.Field(row, StockCsv.Place)), (TubeChangeKind.Noted, columns.Field(row, StockCsv.Note)) };
        _tubes[label] = (StockTube.Booked(label, lotName, now), line);
        foreach (var (kind, text) in changes.Where(c => c.Item2 is not null)) Add(label, new(kind, text!, now), line);
    }

    private void Changed(string[] row, int line, string label, string lotName)
    {
        var (word, at) = (columns.Field(row, StockCsv.Change), columns.Field(row, StockCsv.At));
        if (word is null || !Kinds.TryGetValue(word, out var kind))
        {
            Refuse("change-unknown", line, $"the change of {label} is \"{word}\"", $"allowed is {string.Join(", ", Kinds.Keys)}", "Write one of these.");
            return;
        }
        if (at is null || StockCsv.Time(at) is not { } time)
        {
            Refuse("bad-time", line, $"{label} changed at \"{at}\"", "a time as in 2026-03-14T09:00:00Z is needed (ISO 8601)", "Write the time so.");
            return;
        }
        if (kind == TubeChangeKind.Booked && !_tubes.ContainsKey(label))
        {
            if (LotOf(row, line, label, lotName, time) is not null) _tubes[label] = (StockTube.Booked(label, lotName, time), line);
            return;
        }
        if (!_tubes.TryGetValue(label, out var tube))
            Refuse("not-booked-in", line, $"{label} is {word}", "the first line of a tube books it in", "Add that line before.");
        else if (kind == TubeChangeKind.Booked)
            Refuse("number-twice", line, $"{label} comes in again", $"it stands in line {tube.Line} already", "Give one of the two another number.");
        else if (tube.Tube.Lot != lotName)
            Refuse("number-of-another-lot", line, $"{label} stands in lot {lotName}", $"line {tube.Line} books it into {tube.Tube.Lot}", "Name one lot.");
        else
            Add(label, new(kind, columns.Whole(row, StockCsv.Text), time), line);
    }

    private void Add(string label, TubeChange change, int line)
    {
        var (tube, first) = _tubes[label];
        if (tube.History.Count >= StockCsvReader.MostChanges)
        {
            Refuse("history-too-long", line, $"{label} has more than {StockCsvReader.MostChanges} changes", $"a tube may bring {StockCsvReader.MostChanges}", "Check that this is a table of tubes.");
            return;
        }
        var after = tube.After(change);
        if (after.IsAccepted) _tubes[label] = (after.Value, first);
        else Faults.AddRange(after.Refusals.Select(r => r with { Path = StockCsvReader.Place(line) }));
    }

    // The first line of a lot says what it is; a later one may be silent, but not say something else.
    private Lot? LotOf(string[] row, int line, string label, string name, DateTimeOffset booked)
    {
        var told = columns.Field(row, StockCsv.LotBooked);
        if (told is not null && StockCsv.Time(told) is null)
        {
            Refuse("bad-time", line, $"lot {name} was booked in at \"{told}\"", "a time as in 2026-03-14T09:00:00Z is needed (ISO 8601)", "Write the time so.");
            return null;
        }
        var dash = label.LastIndexOf('-');
        var said = new Lot(
            name, dash > 0 ? label[..dash] : label, columns.Field(row, StockCsv.LotType), columns.Field(row, StockCsv.Origin), columns.Field(row, StockCsv.Price), columns.Field(row, StockCsv.LotNote),
            told is null ? booked : StockCsv.Time(told)!.Value);
        if (!_lots.TryGetValue(name, out var lot))
        {
            Refusal[] faults = [.. said.Faults()];
            Faults.AddRange(faults.Select(f => f with { Path = StockCsvReader.Place(line) }));
            if (faults.Length > 0) return null;
            if (_lots.Values.FirstOrDefault(l => l.Prefix == said.Prefix) is { } other)
            {
                Refuse("number-of-another-lot", line, $"{label} stands in lot {name}", $"lot {other.Name} has the numbers that begin with {other.Prefix}", "Correct the number, or name its own lot.");
                return null;
            }
            _lots[name] = lot = said;
        }
        if (lot.OrdinalOf(label) is null)
        {
            Refuse("number-of-another-lot", line, $"{label} stands in lot {name}", $"its numbers are {lot.Label(1)} to {lot.Label(Lot.MostTubes)}", "Correct the number, or name its own lot.");
            return null;
        }
        if ((said.TypeName ?? lot.TypeName) == lot.TypeName && (said.Origin ?? lot.Origin) == lot.Origin && (said.Price ?? lot.Price) == lot.Price && (said.Note ?? lot.Note) == lot.Note) return lot;
        Refuse("lot-told-twice", line, $"type, origin, price or note of lot {name} are others here", "a line before says otherwise", "Say them alike, or once.");
        return null;
    }

    private void Refuse(string code, int line, string asked, string allowed, string remedy) => Faults.Add(StockCsvReader.Fault(code, line, asked, allowed, remedy));
}
