using System.Diagnostics;
using SweepRig.Domain.Runs;

namespace SweepRig.Sweeps.Running;

/// <summary>The trace of one run: plan, begin (its record is opened), a span a pass, and the record of its end. All null while nobody listens.</summary>
/// <param name="rig">Name of the rig.</param>
internal sealed class RunTrace(string rig)
{
    private readonly Activity? _run = SweepTelemetry.Begin("run", null)?.SetTag("sweeprig.rig.name", rig);
    private Activity? _part;

    /// <summary>Ends the part before it.</summary>
    public void Part(string name)
    {
        _part?.Stop();
        _part = _run is null ? null : SweepTelemetry.Begin(name, _run);
    }

    public void Pass(PassHeader pass)
    {
        Part("pass");
        _part?.SetTag("sweeprig.pass.index", pass.Index).SetTag("sweeprig.pass.points", pass.Points);
    }

    /// <summary>Says which run it is, once that is known.</summary>
    public void Of(RunHeader header) => _run?.SetTag("sweeprig.run.id", header.Id).SetTag("sweeprig.plan.name", header.Plan.Name);

    public void End(string state, bool isError)
    {
        _part?.Stop();
        _run?.SetTag("sweeprig.run.state", state).SetStatus(isError ? ActivityStatusCode.Error : ActivityStatusCode.Unset);
        _run?.Stop();
    }
}
