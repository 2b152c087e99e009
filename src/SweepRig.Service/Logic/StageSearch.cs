using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Search;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Logic;

/// <summary>A search for values as it was asked for: read, run, and told.</summary>
public sealed class StageSearch
{
    /// <summary>Most combinations of values of one search: a minute or so with a lot.</summary>
    public const int MostCombinations = 60_000;

    /// <summary>Usual ranges: what a miniature pentode on a rail of some tens of volts is built with (common practice, no source).</summary>
    public static OhmRangeView UsualPlate { get; } = new(4_700, 47_000);

    public static OhmRangeView UsualDivider { get; } = new(47_000, 470_000);

    /// <summary>A grid that a plate of some tens of kiloohms can drive, and half a watt of plate: far within any miniature pentode's ratings (common practice, no source).</summary>
    public static StageLimitsView UsualLimits { get; } = new(GridAmperes: 100e-6, PlateWatts: 0.5);

    private const double MostTolerance = 20;

    private readonly StageSettings _settings;
    private readonly SearchRequest _request;
    private readonly IReadOnlyList<double> _plate, _upper, _lower;

    private StageSearch(StageSettings settings, SearchRequest request, IReadOnlyList<double> plate, IReadOnlyList<double> upper, IReadOnlyList<double> lower) =>
        (_settings, _request, _plate, _upper, _lower) = (settings, request, plate, upper, lower);

    public StageSettings Settings => _settings;

    /// <returns>Refused with every fault of the request.</returns>
    public static Outcome<StageSearch> Read(SearchRequest request)
    {
        ArgumentNullException.ThrowIfNull(request);
        var settings = StageSettings.Read(request.Rails, request.Values, request.Gate);
        List<Refusal> faults = [.. settings.Refusals];
        StageSettings.FanOut(faults, request.FanOut, 1);
        StageSettings.Within(faults, "/tolerancePercent", "tolerance", request.TolerancePercent, 0, MostTolerance, "%", "Give that of the resistors, for example 5.");
        if (!Enum.TryParse<PreferredSeries>(request.Series, out var series) || int.TryParse(request.Series, CultureInfo.InvariantCulture, out _))
            faults.Add(new("series-unknown", "/series", $"series \"{request.Series}\"", "E12, E24 or E96", "Write one of these."));
        Limits(faults, request.Limits);
        var (plate, upper, lower) = (Values("/plate", request.Plate ?? UsualPlate), Values("/upper", request.Upper ?? UsualDivider), Values("/lower", request.Lower ?? UsualDivider));
        var combinations = (long)plate.Count * upper.Count * lower.Count;
        if (faults.Count == 0 && combinations > MostCombinations)
        {
            faults.Add(new("too-many-combinations", "/series", $"{combinations} combinations of {plate.Count} plate, {upper.Count} upper and {lower.Count} lower resistors", $"at most {MostCombinations} are tried",
                "Narrow a range, or search in E12 or E24 first and then about the best in E96."));
        }
        return faults.Count > 0 ? Outcome<StageSearch>.Refuse(faults) : Outcome<StageSearch>.Accept(new(settings.Value!, request, plate, upper, lower));

        IReadOnlyList<double> Values(string path, OhmRangeView range)
        {
            StageSettings.Within(faults, path + "/lowest", "lowest value", range.Lowest, 100, 10e6, "Ω", "Give ohms.");
            StageSettings.Within(faults, path + "/highest", "highest value", range.Highest, 100, 10e6, "Ω", "Give ohms.");
            if (!(range.Lowest > 0 && range.Highest is > 0 and <= 10e6)) return [];
            var values = range.Highest >= range.Lowest ? PreferredValues.Between(series, range.Lowest, range.Highest) : [];
            if (values.Count == 0 && faults.Count == 0)
                faults.Add(new("range-empty", path, $"{Ohms(range.Lowest)} to {Ohms(range.Highest)}", $"{request.Series} has no value there", "Widen the range, the lower end first."));
            return values;
        }
    }

    /// <returns>Refused when no values have a margin within the limits.</returns>
    public Outcome<SearchView> Run(ChosenTubes chosen, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(chosen);
        var limits = _request.Limits ?? UsualLimits;
        var order = new SearchOrder(_settings.Rails, _settings.Values, chosen.Parts, _request.FanOut, _plate, _upper, _lower,
            new(limits.GridAmperes, limits.PlateWatts, limits.ScreenWatts, limits.CathodeAmperes, limits.ResistorWatts)) { ResistorTolerance = _request.TolerancePercent / 100, Shape = _settings.Shape };
        var found = ValueSearch.Run(order, progress is null ? null : (done, of) => progress(new("Trying values", done, of)), cancellation);
        return found.IsAccepted ? Outcome<SearchView>.Accept(View(found.Value, chosen)) : Outcome<SearchView>.Refuse([.. found.Refusals.Select(r => r with { Path = "/limits" })]);
    }

    private SearchView View(SearchResult found, ChosenTubes chosen)
    {
        var best = found.Best;
        var values = StageSettings.View(_settings.Values with { PlateOhms = best.Plate, UpperOhms = best.Upper, LowerOhms = best.Lower });
        List<BindingView> binding =
        [
            .. found.Binding.OrderByDescending(b => b.Value).Select(b => new BindingView(b.Key, b.Value, $"The limit of {b.Key} keeps out values with a margin of {Engineering.Format(b.Value, "V", 3)}.")),
        ];
        End("plate resistor", best.Plate, _plate);
        End("upper resistor", best.Upper, _upper);
        End("lower resistor", best.Lower, _lower);
        var marked = chosen.Tubes.Select(t => (Tube: t.Part.Number ?? "", Why: t.Marked(_settings.Values.IsTriode, double.PositiveInfinity, found.Burden.CathodeAmps))).Where(m => m.Why is not null);
        return new(values, found.MarginVolts, found.Low, found.High, StageViewMaker.View(found.Burden), [.. binding], chosen.Tubes.Count, found.Looked, found.Solved, [.. chosen.NotSwept],
            [.. LogicRemarks.Of(_settings.Shape), .. LogicRemarks.Of(chosen, marked.Select(m => (m.Tube, m.Why!)))]);

        void End(string what, double value, IReadOnlyList<double> of)
        {
            if (of.Count > 1 && (value == of[0] || value == of[^1]))
                binding.Add(new(what, null, $"The {what} of {Ohms(value)} is at the {(value == of[0] ? "lower" : "upper")} end of its range: a wider range may have better ones."));
        }
    }

    private static void Limits(List<Refusal> faults, StageLimitsView? limits)
    {
        foreach (var (path, what, value, unit) in new[]
                 {
                     ("gridAmperes", "grid current", limits?.GridAmperes, "A"), ("plateWatts", "plate dissipation", limits?.PlateWatts, "W"), ("screenWatts", "screen dissipation", limits?.ScreenWatts, "W"),
                     ("cathodeAmperes", "cathode current", limits?.CathodeAmperes, "A"), ("resistorWatts", "dissipation of the plate resistor", limits?.ResistorWatts, "W"),
                 })
            if (value is { } given && !(given > 0)) faults.Add(new("out-of-range", "/limits/" + path, string.Create(CultureInfo.InvariantCulture, $"{what} of {given:0.######} {unit}"), $"above 0 {unit} is allowed", "Give the limit, or leave it out for none."));
    }

    private static string Ohms(double ohms) => Engineering.Format(ohms, "Ω", 3);
}
