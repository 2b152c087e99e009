using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;

namespace SweepRig.Service.Families;

/// <summary>Whether a run may bear out a load line on a family, and in words why not. Pure.</summary>
public static class FamilyCheckRun
{
    /// <returns>With the path <c>/run</c>; empty when it may.</returns>
    public static IReadOnlyList<Refusal> Faults(ChosenRuns family, RunRecord run)
    {
        List<Refusal> faults = [.. ChosenRuns.Faults([family.First.Record, run]).Select(f => f with { Path = "/run" })];
        if (family.Ids.Contains(run.Header.Id, StringComparer.Ordinal))
            faults.Add(new("run-of-family", "/run", $"run {run.Header.Id}, which belongs to the family", "a load line is held against a run that the family does not hold", "Choose another run, or take it out of the family."));
        var (found, wanted) = (run.Header.Plan.Connection, family.First.Record.Header.Plan.Connection);
        if (found.Kind != wanted.Kind)
            faults.Add(new("other-connection", "/run", $"run {run.Header.Id} in {BenchViews.Word(found.Kind)} connection", $"the family is in {BenchViews.Word(wanted.Kind)} connection", "Choose a run in the same connection."));
        if (found.GridStopper != wanted.GridStopper)
            faults.Add(new("other-grid-stopper", "/run", $"run {run.Header.Id} with a grid stopper of {found.GridStopper}", $"the family has {wanted.GridStopper}", "Choose a run with the same grid stopper: the family is over the drive before it."));
        return faults;
    }
}
