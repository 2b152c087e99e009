using System.Globalization;
using SweepRig.Domain;

namespace SweepRig.Sweeps.Rounds;

/// <summary>What an operator types or scans, one line, as it is meant. Upper and lower case do not matter.</summary>
public abstract record RoundEntry
{
    /// <summary>How to say things, for a help line.</summary>
    public const string Words =
        "Enter: it is in. A number: that tube is at hand. s2: it is in socket 2. pull s2: out of socket 2. aside [NUMBER] WHY: not this one. again NUMBER. On a question: keep, type TYPE, or again. After a trip: acknowledge. end.";

    public sealed record Happened(RoundEvent Event) : RoundEntry;

    /// <summary>The tube asked for is not to be swept.</summary>
    public sealed record AsideNext(string Why) : RoundEntry;

    /// <summary>The oldest question: the type on record stands.</summary>
    public sealed record KeepType : RoundEntry;

    /// <summary>The oldest question: it is that type.</summary>
    public sealed record OtherType(string TypeName) : RoundEntry;

    /// <summary>The oldest question: sweep it again.</summary>
    public sealed record SweepAgain : RoundEntry;

    /// <summary>The operator's release of a trip whose cause is gone.</summary>
    public sealed record Acknowledge : RoundEntry;

    public sealed record End : RoundEntry;

    private const int Longest = 200;

    /// <param name="text">The line; a scanner's trailing blanks do not matter.</param>
    /// <param name="round">Where it was said: digits alone are the count of a tube, when the numbers of this round let it be told.</param>
    public static Outcome<RoundEntry> Read(string text, Round round)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(round);
        var line = text.Trim();
        if (line.Length > Longest || line.Any(char.IsControl))
            return No($"a line of {line.Length} characters", $"one line of up to {Longest} is read", "Scan or type it again.");
        if (line.Length == 0) return Yes(new RoundEvent.Placed(null));
        string[] words = line.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        var rest = line[words[0].Length..].Trim();
        switch (words[0].ToUpperInvariant())
        {
            case "PULL":
                return Socket(rest) is { } pulled ? Yes(new RoundEvent.Pulled(pulled)) : No($"\"{line}\"", "pull needs a socket", "Say for example pull s2.");
            case "ASIDE":
                return Aside(words, rest, round);
            case "AGAIN":
                return rest.Length == 0 ? Outcome<RoundEntry>.Accept(new SweepAgain()) : Label(rest, round) is var again && again.IsAccepted ? Yes(new RoundEvent.Again(again.Value)) : Outcome<RoundEntry>.Refuse(again.Refusals);
            case "KEEP" when rest.Length == 0:
                return Outcome<RoundEntry>.Accept(new KeepType());
            case "TYPE":
                return rest.Length > 0 ? Outcome<RoundEntry>.Accept(new OtherType(rest)) : No("\"type\"", "a type is needed with it", "Say for example type 6BH6.");
            case "ACKNOWLEDGE" when rest.Length == 0:
                return Outcome<RoundEntry>.Accept(new Acknowledge());
            case "END" when rest.Length == 0:
                return Outcome<RoundEntry>.Accept(new End());
            default:
                if (Socket(line) is { } socket) return Yes(new RoundEvent.Placed(socket));
                var label = Label(line, round);
                return label.IsAccepted ? Yes(new RoundEvent.Named(label.Value)) : Outcome<RoundEntry>.Refuse(label.Refusals);
        }
    }

    private static Outcome<RoundEntry> Aside(string[] words, string rest, Round round)
    {
        const string unsaid = "no reason given";
        if (words.Length > 1 && Label(words[1], round) is { IsAccepted: true } label && round.Setup.Tubes.Any(t => t.Label == label.Value))
        {
            var why = rest[words[1].Length..].Trim();
            return Yes(new RoundEvent.PutAside(label.Value, why.Length > 0 ? why : unsaid));
        }
        return Outcome<RoundEntry>.Accept(new AsideNext(rest.Length > 0 ? rest : unsaid));
    }

    private static int? Socket(string text) =>
        text.Length is 2 or 3 && text[0] is 's' or 'S' && int.TryParse(text.AsSpan(1), NumberStyles.None, CultureInfo.InvariantCulture, out var socket) ? socket : null;

    private static Outcome<string> Label(string text, Round round)
    {
        var said = text.ToUpperInvariant();
        if (!int.TryParse(said, NumberStyles.None, CultureInfo.InvariantCulture, out var count)) return Outcome<string>.Accept(said);
        var like = round.Setup.Tubes.Where(t => t.Label == said || (int.TryParse(t.Label.AsSpan(t.Label.LastIndexOf('-') + 1), NumberStyles.None, CultureInfo.InvariantCulture, out var own) && own == count))
            .Select(t => t.Label).ToArray();
        return like.Length switch
        {
            1 => Outcome<string>.Accept(like[0]),
            0 => Outcome<string>.Refuse(new Refusal("tube-not-in-round", "/text", $"number {text}", "no tube of this round has it", "Scan or type the whole number.")),
            _ => Outcome<string>.Refuse(new Refusal("number-of-two", "/text", $"number {text}", $"{string.Join(" and ", like.Take(2))} have it", "Scan or type the whole number.")),
        };
    }

    private static Outcome<RoundEntry> Yes(RoundEvent happened) => Outcome<RoundEntry>.Accept(new Happened(happened));

    private static Outcome<RoundEntry> No(string asked, string allowed, string remedy) => Outcome<RoundEntry>.Refuse(new Refusal("not-understood", "/text", asked, allowed, remedy));
}
