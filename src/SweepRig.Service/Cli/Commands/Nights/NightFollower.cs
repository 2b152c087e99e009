using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Commands.Nights;

/// <summary>Stays by a night that is done on a bench of this process.</summary>
internal static class NightFollower
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromMilliseconds(200);

    /// <summary>Stays until the night is over, and tells each step that is done with.</summary>
    public static async Task<NightView> FollowAsync(CliContext context, IBench where, CancellationToken cancellation)
    {
        var told = new HashSet<int>();
        var doing = "";
        while (true)
        {
            var night = (await where.NightAsync(cancellation))!;
            foreach (var step in night.Latest.Where(s => told.Add(s.Step)).Reverse()) context.Terminal.Error.WriteLine(NightStateText.Step(step));
            if (night.State == "over") return night;
            if (night.Doing != doing && night.State is not "working") context.Terminal.Error.WriteLine($"{night.State,-11}  {night.Doing}{(night.WakesUtc is { } wakes ? $", until {wakes}" : "")}");
            doing = night.Doing;
            try
            {
                await Task.Delay(LookEvery, context.Time, cancellation);
            }
            catch (OperationCanceledException)
            {
                context.Terminal.Complain($"The night \"{night.Name}\" is cut short, not over: sweeprig serve with the same --data takes it up again.");
                throw;
            }
        }
    }
}
