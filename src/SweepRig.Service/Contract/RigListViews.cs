using MessagePack;

namespace SweepRig.Service.Contract;

/// <summary>All rigs of the service at a glance, in their order; the first is meant wherever none is named.</summary>
[MessagePackObject]
public sealed record RigListView([property: Key("rigs")] RigGlanceView[] Rigs);

/// <param name="Name">What it is called here: in addresses as <c>?rig=NAME</c>, in commands as <c>--rig NAME</c>.</param>
/// <param name="State">What matters most about it now.</param>
/// <param name="What">For people: the rig and its port.</param>
/// <param name="SerialNumber">Of the connected rig; null while none is.</param>
/// <param name="Sockets">Of the connected rig; 0 while none is.</param>
/// <param name="LinkFault">Why it is not connected and what to do; null while connected.</param>
/// <param name="RunId">The run under way; null for none.</param>
[MessagePackObject]
public sealed record RigGlanceView(
    [property: Key("name")] string Name,
    [property: Key("state"), OneOf("connecting", "lost", "connected", "warming", "sweeping", "holding", "tripped")] string State,
    [property: Key("what")] string What,
    [property: Key("serialNumber")] string? SerialNumber,
    [property: Key("sockets")] int Sockets,
    [property: Key("linkFault")] string? LinkFault,
    [property: Key("runId")] string? RunId,
    [property: Key("heaterOn")] bool HeaterOn,
    [property: Key("trip")] TripView? Trip);
