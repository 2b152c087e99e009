using System.Net.Http.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Tubes;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.Rigs;
using SweepRig.Rigs.Simulated;
using SweepRig.Service.Contract;

namespace SweepRig.EndToEnd.Tests.Emulated.Rigs;

/// <summary>
/// Transfer curves of one rig as its user gets them: <c>serve --port</c> on the rig's pseudo-terminal, a plan posted over REST, the recorded curve read
/// back. Far positive and back, in both connections.
/// </summary>
internal sealed record MeasuredCurves(RigKind Kind, CurveView[] Pentode, CurveView[] Triode)
{
    private const int Points = 96;

    /// <summary>Channels that a pass records.</summary>
    public static IReadOnlyList<RigChannel> Channels { get; } = [RigChannel.Plate, RigChannel.Grid, RigChannel.Screen, RigChannel.Supply];

    public CurveView[] this[ConnectionKind connection] => connection == ConnectionKind.Pentode ? Pentode : Triode;

    public static async Task<MeasuredCurves> MeasureAsync(RigKind kind)
    {
        RigOnBench? rig = null;
        await using var bench = await PtyBench.StartWithAsync(path => rig = RigOnBench.Start(kind, path));
        if (await bench.GrantPermitAsync(24, 300) is not 200 and var status) throw new InvalidOperationException($"The permit was answered with {status}.");
        var pentode = await SweepAsync(bench, rig!, PlanExamples.FarPositivePentode.Plan);
        var triode = await SweepAsync(bench, rig!, PlanExamples.FarPositiveTriode.Plan);
        await rig!.UntilSafeAsync();
        return new(kind, pentode, triode);
    }

    /// <summary>The largest difference of two rigs in one channel, in steps of its converter.</summary>
    public static double LargestDifference(CurveView[] ours, CurveView[] theirs, RigChannel channel)
    {
        var step = SimulatedRigDefaults.Channels[(int)channel].StepVolts;
        var largest = 0.0;
        foreach (var (one, other) in ours.Zip(theirs))
        {
            var (a, b) = (Column(one, channel), Column(other, channel));
            if (a.Length != b.Length) throw new InvalidOperationException($"One curve has {a.Length} points, the other {b.Length}.");
            for (var i = 0; i < a.Length; i++)
                largest = Math.Max(largest, a[i] is { } x && b[i] is { } y ? Math.Abs(x - y) / step : double.PositiveInfinity);
        }
        return largest;
    }

    private static double?[] Column(CurveView curve, RigChannel channel) => channel switch
    {
        RigChannel.Plate => curve.Plate,
        RigChannel.Grid => curve.Grid,
        RigChannel.Screen => curve.Screen,
        RigChannel.Supply => curve.Supply,
        _ => throw new ArgumentOutOfRangeException(nameof(channel), channel, "No curve holds this channel."),
    };

    private static async Task<CurveView[]> SweepAsync(PtyBench bench, RigOnBench rig, SweepPlan plan)
    {
        var wired = plan with { Points = Points };
        await rig.WireAsync(RigWiring.Of(wired.Connection), wired.Connection.PlateRail.Value);
        var runId = await bench.StartRunAsync(TestPlans.Document(wired));
        var run = await bench.UntilRunAsync(runId, r => (string?)r["state"] != "running");
        if ((string?)run["state"] != "complete") throw new InvalidOperationException($"The run ended {run["state"]}: {run}");
        var curves = await bench.Http.GetFromJsonAsync<CurvesView>($"/api/runs/{runId}/curves");
        return curves!.Curves;
    }
}
