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

    Task RoundChanged(RoundChangedView round);

    Task NightChanged(NightChangedView night);

    /// <summary>Of a service with several rigs: all of them, whichever the viewer has chosen.</summary>
    Task RigsChanged(RigListView rigs);
}

/// <summary>Samples in volts and amperes, one array a column. An array is empty where the channel was not measured.</summary>
/// <param name="Sequence">Stored number of the first block in this message, from 0 within the run.</param>
/// <param name="Blocks">Stored blocks in this message, 1 or more; the next message goes on at sequence + blocks. A jump is a skip, to be fetched from the run.</param>
/// <param name="NewestSampleUnixMs">When the last sample was taken, by the host's clock; null when fetched from the record.</param>
/// <param name="SkippedBlocks">Blocks that this viewer did not get so far because it was behind.</param>
[MessagePackObject]
public sealed record LiveBlockView(
    [property: Key("runId")] string RunId,
    [property: Key("sequence")] long Sequence,
    [property: Key("blocks")] int Blocks,
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
    [property: Key("newestSampleUnixMs")] double? NewestSampleUnixMs,
    [property: Key("skippedBlocks")] long SkippedBlocks);

[MessagePackObject]
public sealed record RunStartedView(
    [property: Key("runId")] string RunId,
    [property: Key("startedUtc")] string StartedUtc,
    [property: Key("tube")] TubeView Tube,
    [property: Key("planName")] string PlanName,
    [property: Key("connection"), OneOf("pentode", "triode")] string Connection,
    [property: Key("driveStart")] double DriveStart,
    [property: Key("driveStop")] double DriveStop,
    [property: Key("plateRail")] double PlateRail,
    [property: Key("passes")] PassView[] Passes);

[MessagePackObject]
public sealed record PassEndedView([property: Key("runId")] string RunId, [property: Key("pass")] PassView Pass);

[MessagePackObject]
public sealed record RunEndedView([property: Key("runId")] string RunId, [property: Key("state"), OneOf("complete", "stopped", "tripped", "incomplete")] string State);

[MessagePackObject]
public sealed record TubeView(
    [property: Key("label")] string Label,
    [property: Key("type")] string Type,
    [property: Key("lot")] string? Lot = null);

/// <param name="Direction"><c>up</c> or <c>down</c>.</param>
[MessagePackObject]
public sealed record PassView(
    [property: Key("index")] int Index,
    [property: Key("direction"), OneOf("up", "down")] string Direction,
    [property: Key("points")] int Points,
    [property: Key("repeat")] int Repeat,
    [property: Key("secondSourceVolts")] double? SecondSourceVolts);

/// <summary>The screening round moved on: fetch it anew.</summary>
[MessagePackObject]
public sealed record RoundChangedView([property: Key("version")] long Version);
