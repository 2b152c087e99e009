using SweepRig.Domain;
using SweepRig.Domain.Quantities;

namespace SweepRig.Logic.Timing;

/// <summary>A limit, between something that works and something that does not.</summary>
/// <param name="Works">The furthest that was played and right from every start.</param>
/// <param name="Fails">The nearest that was wrong; null when all that was tried works.</param>
/// <param name="Tried">How many were played.</param>
public sealed record LimitBracket(double Works, double? Fails, int Tried);

/// <summary>What a trigger is played like.</summary>
/// <param name="Input">Its name among the inputs; the others stay low but for those in <paramref name="Alternating"/>.</param>
/// <param name="Pulses">Falling edges, each of which has to do what it should.</param>
/// <param name="LowShare">Part of the period for which it is low.</param>
/// <param name="Alternating">Inputs, such as data, that change before every second edge.</param>
public sealed record TriggerPattern(string Input, int Pulses = 6, double LowShare = 0.5, IReadOnlyList<string>? Alternating = null);

/// <summary>How fast and how small triggers may become before a network that stores misses one. Found by halving between what works and what does not.</summary>
/// <remarks>
/// Every trial plays all pulses from every state in which the network can rest, or from eight spread over them where there are more, and is right when each signal is right at the
/// end of each period.
/// </remarks>
public static class TriggerLimits
{
    /// <summary>Longest period and rest that is tried. Unit: s.</summary>
    public const double LongestSeconds = 10e-3;

    private const double FineShare = 0.02;
    private const int MostStarts = 8;

    /// <summary>The shortest period of a trigger of full swing; the highest rate is its inverse.</summary>
    /// <returns>Periods in seconds, the bracket within 2 %; refused when even a slow trigger does not work.</returns>
    public static Outcome<LimitBracket> ShortestPeriod(SequencePlayer player, TriggerPattern pattern, SequenceOptions? options = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(player);
        ArgumentNullException.ThrowIfNull(pattern);
        options ??= new();
        var tried = 0;
        double works = double.NaN, shortest = 2.5 * options.EdgeSeconds / Math.Min(pattern.LowShare, 1 - pattern.LowShare);
        bool Try(double period)
        {
            tried++;
            return Right(player, pattern, period * pattern.LowShare, period * (1 - pattern.LowShare), options, cancel);
        }
        // From slow to fast, as a bench would; the first that works is often some tens of microseconds.
        for (var period = 50e-6; period <= LongestSeconds && double.IsNaN(works); period *= 4)
            if (Try(period)) works = period;
        if (double.IsNaN(works)) return Refused(player, pattern, $"not even with a period of {Engineering.Format(LongestSeconds, "s", 3)}", "Check its values, above all speed-up and steering capacitors.");
        double? fails = null;
        for (var period = works / 2; period >= shortest && fails is null; period /= 2)
        {
            if (Try(period)) works = period;
            else fails = period;
        }
        while (fails is { } f && works - f > FineShare * works)
        {
            var period = Math.Sqrt(works * f);
            if (Try(period)) works = period;
            else fails = period;
        }
        return Outcome<LimitBracket>.Accept(new(works, fails, tried));
    }

    /// <summary>The smallest fall of the trigger, from the restored high level, that still does its work.</summary>
    /// <param name="widthSeconds">For how long it is low.</param>
    /// <param name="restSeconds">For how long it is high again.</param>
    /// <returns>Volts, the bracket within 50 mV; refused when a fall by the whole rail does not work.</returns>
    public static Outcome<LimitBracket> SmallestFall(SequencePlayer player, TriggerPattern pattern, double widthSeconds, double restSeconds, SequenceOptions? options = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(player);
        ArgumentNullException.ThrowIfNull(pattern);
        options ??= new();
        const double fineVolts = 0.05;
        var tried = 0;
        bool Try(double fall)
        {
            tried++;
            var levels = new Dictionary<string, (double, double)>(options.Levels) { [pattern.Input] = (player.Levels.High - fall, player.Levels.High) };
            return Right(player, pattern, widthSeconds, restSeconds, options with { Levels = levels }, cancel);
        }
        double works = double.NaN, fails = 0;
        for (var share = 0.25; share <= 1 && double.IsNaN(works); share += 0.25)
        {
            if (Try(share * player.Network.Rails.Plate)) works = share * player.Network.Rails.Plate;
            else fails = share * player.Network.Rails.Plate;
        }
        if (double.IsNaN(works)) return Refused(player, pattern, $"not even with a fall of {Engineering.Format(player.Network.Rails.Plate, "V", 3)}", "Widen the pulse, or raise the steering capacitor.");
        while (works - fails > fineVolts)
        {
            var fall = 0.5 * (works + fails);
            if (Try(fall)) works = fall;
            else fails = fall;
        }
        return Outcome<LimitBracket>.Accept(new(works, fails, tried));
    }

    /// <summary>Steps of a pattern: the trigger high, then low and high for each pulse.</summary>
    /// <exception cref="ArgumentException">The network has no such input.</exception>
    public static IReadOnlyList<SequenceStep> Steps(IReadOnlyList<string> inputs, TriggerPattern pattern, double lowSeconds, double highSeconds)
    {
        ArgumentNullException.ThrowIfNull(inputs);
        ArgumentNullException.ThrowIfNull(pattern);
        foreach (var name in (pattern.Alternating ?? []).Prepend(pattern.Input))
            if (!inputs.Contains(name)) throw new ArgumentException($"There is no input {name}; there are {string.Join(", ", inputs)}.", nameof(pattern));
        var steps = new List<SequenceStep>();
        bool[] At(bool trigger, int pulse) => [.. inputs.Select(i => i == pattern.Input ? trigger : pulse % 4 < 2 && (pattern.Alternating?.Contains(i) ?? false))];
        steps.Add(new(At(true, 0), highSeconds));
        for (var pulse = 0; pulse < pattern.Pulses; pulse++)
        {
            steps.Add(new(At(false, pulse), lowSeconds));
            steps.Add(new(At(true, pulse + 1), highSeconds));
        }
        return steps;
    }

    /// <summary>All pulses at a period that works, from the first state in which the network can rest.</summary>
    internal static SequenceRun? PlayAt(SequencePlayer player, TriggerPattern pattern, double period, CancellationToken cancel)
    {
        var steps = Steps(player.Network.Inputs, pattern, period * pattern.LowShare, period * (1 - pattern.LowShare));
        return player.Starts(steps[0].Inputs) is [var first, ..] ? player.Play(steps, first, null, cancel).Value : null;
    }

    private static bool Right(SequencePlayer player, TriggerPattern pattern, double low, double high, SequenceOptions options, CancellationToken cancel)
    {
        var steps = Steps(player.Network.Inputs, pattern, low, high);
        var starts = player.Starts(steps[0].Inputs);
        var count = Math.Min(MostStarts, starts.Count);
        for (var n = 0; n < count; n++)
        {
            var run = player.Play(steps, starts[n * starts.Count / count], options, cancel).Value;
            if (run is null || run.Rows.Where((_, at) => at % 2 == 0).Any(r => r.Wrong is not null || r.Wanted is null)) return false;
        }
        return count > 0;
    }

    private static Outcome<LimitBracket> Refused(SequencePlayer player, TriggerPattern pattern, string how, string remedy) => Outcome<LimitBracket>.Refuse(new Refusal(
        "trigger-missed", "", $"{player.Network.Name} does not follow {pattern.Input}, {how}", "every pulse has to do its work from every start", remedy));
}
