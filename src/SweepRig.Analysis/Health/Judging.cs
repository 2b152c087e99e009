using SweepRig.Domain.Quantities;

namespace SweepRig.Analysis.Health;

/// <summary>What is fixed about an item: its words and its limits.</summary>
/// <param name="Doubtful">Above this it is doubtful.</param>
/// <param name="Bad">Above this by more than its expanded uncertainty it is bad.</param>
internal sealed record HealthTopic(string Name, string Title, string Unit, double Doubtful, double Bad, string Method, string Source, string Shows, string CannotShow)
{
    /// <summary>A figure that is good when small.</summary>
    public HealthItem Judge(double value, double uncertainty, string? mark = null)
    {
        var expanded = 2 * uncertainty;
        var figure = Figure.Of(value, Unit, uncertainty, mark);
        if (value - expanded > Bad) return Item(figure, HealthVerdict.Bad, $"{Title}: {Write(value)}, above {Write(Bad)}");
        if (value - expanded > Doubtful) return Item(figure, HealthVerdict.Doubtful, $"{Title}: {Write(value)}, above {Write(Doubtful)}");
        if (value + expanded <= Bad) return Item(figure, HealthVerdict.Good);
        return Item(figure, HealthVerdict.NotSeen, $"{Title}: {Write(value)} is known to {Write(expanded)} only, and the limit is {Write(Bad)}");
    }

    /// <summary>A figure that is good when large; the limits are then lower ones.</summary>
    public HealthItem JudgeLow(double value, double uncertainty, string? mark = null)
    {
        var expanded = 2 * uncertainty;
        var figure = Figure.Of(value, Unit, uncertainty, mark);
        if (value + expanded < Bad) return Item(figure, HealthVerdict.Bad, $"{Title}: {Write(value)}, below {Write(Bad)}");
        if (value + expanded < Doubtful) return Item(figure, HealthVerdict.Doubtful, $"{Title}: {Write(value)}, below {Write(Doubtful)}");
        return Item(figure, HealthVerdict.Good);
    }

    public HealthItem NotSeen(string because) => Item(Figure.None(Unit, because), HealthVerdict.NotSeen, $"{Title}: {because}");

    public HealthItem Item(Figure figure, HealthVerdict verdict, params string[] reasons) => new(Name, Title, figure, verdict, reasons, Method, Source, Shows, CannotShow);

    private string Write(double value) => Unit switch
    {
        "%" or "1" => FormattableString.Invariant($"{value:0.###}{(Unit == "%" ? " %" : "")}"),
        _ => Engineering.Format(value, Unit, 3),
    };
}
