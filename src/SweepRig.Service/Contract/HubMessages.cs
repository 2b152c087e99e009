using MessagePack;

namespace SweepRig.Service.Contract;

/// <summary>What the hub sends to a viewer. String keys keep the wire names the same as in JSON.</summary>
public interface IBenchViewer
{
    Task BenchChanged(BenchView bench);

    Task RunStarted(RunStartedView run);

    Task BlockArrived(LiveBlockView block);

    Task PassEnded(PassEndedView pass);

    Task RunEnded(RunEndedView run);
}

/// <summary>Live samples in volts and amperes, one array a column. An array is empty where the channel was not measured.</summary>
[MessagePackObject]
public sealed record LiveBlockView(
    [property: Key("runId")] string RunId,
    [property: Key("sequence")] long Sequence,
    [property: Key("pass")] int Pass,
    [property: Key("pointIndex")] int[] PointIndex,
    [property: Key("drive")] double[] Drive,
    [property: Key("plate")] double[] Plate,
    [property: Key("grid")] double[] Grid,
    [property: Key("screen")] double[] Screen,
    [property: Key("supply")] double[] Supply,
    [property: Key("gridCurrent")] double[] GridCurrent,
    [property: Key("screenCurrent")] double[] ScreenCurrent,
    [property: Key("plateCurrent")] double[] PlateCurrent,
    [property: Key("newestSampleUnixMs")] double NewestSampleUnixMs,
    [property: Key("skippedBlocks")] long SkippedBlocks);

[MessagePackObject]
public sealed record RunStartedView(
    [property: Key("runId")] string RunId,
    [property: Key("startedUtc")] string StartedUtc,
    [property: Key("tube")] TubeView Tube,
    [property: Key("planName")] string PlanName,
    [property: Key("connection")] string Connection,
    [property: Key("driveStart")] double DriveStart,
    [property: Key("driveStop")] double DriveStop,
    [property: Key("plateRail")] double PlateRail,
    [property: Key("passes")] PassView[] Passes);

[MessagePackObject]
public sealed record PassEndedView([property: Key("runId")] string RunId, [property: Key("pass")] PassView Pass);

[MessagePackObject]
public sealed record RunEndedView([property: Key("runId")] string RunId, [property: Key("state")] string State);

[MessagePackObject]
public sealed record TubeView(
    [property: Key("label")] string Label,
    [property: Key("type")] string Type,
    [property: Key("lot")] string? Lot);

/// <param name="Direction"><c>up</c> or <c>down</c>.</param>
[MessagePackObject]
public sealed record PassView(
    [property: Key("index")] int Index,
    [property: Key("direction")] string Direction,
    [property: Key("points")] int Points,
    [property: Key("repeat")] int Repeat,
    [property: Key("secondSourceVolts")] double? SecondSourceVolts);
