using System.Globalization;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Sweeps.Rounds;

namespace SweepRig.Service.Rounds;

/// <summary>Turns a round into what people and programs see. Pure.</summary>
public static class RoundViewMaker
{
    /// <param name="at">Now, since the round began.</param>
    public static RoundView Of(RoundPicture picture, TimeSpan at)
    {
        var round = picture.Round;
        return new(
            picture.Id, picture.Version, picture.Lot, picture.Plan.Name, BenchViews.Utc(picture.BeganUtc), picture.IsOver, round.IsFinished, picture.IsOver ? null : round.HeldBecause,
            [.. Asks(picture, at)], [.. round.Setup.Sockets.Select(s => Socket(round, s, at))], [.. round.Waiting.Select(t => t.Label)],
            [.. round.Results.Select(r => new RoundResultView(r.Tube.Label, r.Tube.TypeName, r.RunId, r.Verdict, r.At.TotalSeconds))],
            [.. picture.LeftOut.Select(l => new LeftOutView(l.Label, l.Reason))], round.Setup.Tubes.Count, Pace(round));
    }

    private static IEnumerable<RoundAskView> Asks(RoundPicture picture, TimeSpan at)
    {
        var round = picture.Round;
        if (picture.IsOver)
        {
            yield return new("over", $"{(round.IsFinished ? "All tubes are done." : $"Ended: {Count(round.Waiting.Count + round.Seats.Values.Count(s => s.Phase != SeatPhase.Done))} not swept.")} The heaters are off: let the bulbs cool before you pull them.", null, null, null, []);
            yield break;
        }
        var asked = false;
        if (round.HeldBecause is { } why)
        {
            asked = true;
            yield return new("mend", $"Nothing is swept: {why}.", null, null, null, round.NeedsRelease ? ["acknowledge"] : []);
        }
        foreach (var seat in round.Seats.Values.Where(s => s.Phase == SeatPhase.Doubted).OrderBy(s => s.SeatedAt))
        {
            asked = true;
            yield return new("answer", $"{seat.Tube.Label} in socket {Text(seat.Socket)} is on record as {seat.Tube.TypeName}, but {seat.Doubt!.Says}. {Likely(seat.Doubt)}Read what is printed on it.", seat.Tube.Label, seat.Socket, null,
                ["keep", .. seat.Doubt.Others.Select(t => $"type {t}"), "again"]);
        }
        if (round.Next is { } next)
        {
            asked = true;
            var removes = round.Seats.GetValueOrDefault(next.Socket)?.Tube.Label;
            yield return new("place", $"{(removes is null ? "" : $"Socket {Text(next.Socket)}: {removes} out (hot). ")}{next.Tube.Label} into socket {Text(next.Socket)}.", next.Tube.Label, next.Socket, removes,
                ["", next.Tube.Label, $"s{Text(next.Socket)}", "aside"]);
        }
        if (!asked) yield return new("wait", Waiting(round, at), null, null, null, []);
    }

    private static string Likely(TypeDoubt doubt) => doubt.Others.Count == 0
        ? "No type that can be told has such a curve: another type, or a fault. "
        : $"Its curve could be that of: {string.Join(", ", doubt.Others)}. ";

    private static string Waiting(Round round, TimeSpan at)
    {
        if (round.Sweeping is { } seat) return $"{seat.Tube.Label} in socket {Text(seat.Socket)} is being swept.";
        if (round.NextWarmAt is { } warm) return warm > at ? string.Create(CultureInfo.InvariantCulture, $"The next tube is warm in {Math.Ceiling((warm - at).TotalSeconds):0} s.") : "The next tube is warm.";
        return "The last sweep is being looked at.";
    }

    private static RoundSocketView Socket(Round round, int socket, TimeSpan at)
    {
        if (!round.Seats.TryGetValue(socket, out var seat)) return new(socket, "empty", null, null, null, null, null);
        var left = seat.Phase == SeatPhase.Heating && round.WarmAt(seat) is { } warm ? Math.Max(0, (warm - at).TotalSeconds) : (double?)null;
        var phase = seat.Phase == SeatPhase.Heating ? left == 0 ? "warm" : "warming" : BenchViews.Word(seat.Phase);
        return new(socket, phase, seat.Tube.Label, seat.Tube.TypeName, left, seat.RunId, seat.Phase == SeatPhase.Done ? round.Results.FindLast(r => r.Tube.Label == seat.Tube.Label)?.Verdict : null);
    }

    private static RoundPaceView Pace(Round round)
    {
        var swept = round.Results.Where(r => r.RunId is not null).ToArray();
        var elapsed = swept.Length == 0 ? 0 : swept.Max(r => r.At).TotalSeconds;
        var warm = round.Setup.WarmAfter;
        if (swept.Length == 0 || round.Sweeps.IsEmpty || round.Handlings.IsEmpty) return new(swept.Length, elapsed, null, null, null, null, warm.TotalSeconds, null, null);
        var (sweep, handling) = (Median(round.Sweeps), Median(round.Handlings));
        var bound = new RoundPace(round.Setup.Sockets.Count, warm, sweep, handling);
        return new(
            swept.Length, elapsed, swept.Length * 3600 / elapsed, bound.TubesPerHour, bound.Least(swept.Length).TotalSeconds, BenchViews.Word(bound.LimitedBy), warm.TotalSeconds, sweep.TotalSeconds,
            handling.TotalSeconds);
    }

    private static TimeSpan Median(IEnumerable<TimeSpan> times)
    {
        var sorted = times.Order().ToArray();
        return (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2;
    }

    private static string Count(int tubes) => tubes == 1 ? "1 tube" : $"{Text(tubes)} tubes";

    private static string Text(int number) => number.ToString(CultureInfo.InvariantCulture);
}
