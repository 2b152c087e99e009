using SweepRig.Domain.Runs;
using SweepRig.Storage;

namespace SweepRig.Service.Health;

/// <summary>Finds the screening that tells of the tube in a run.</summary>
public static class Screenings
{
    /// <summary>Runs looked through at most, the newest first: a year of evenings.</summary>
    private const int MostLooked = 2_000;

    private const int Page = 200;

    /// <returns>The run itself where it is a step of a screening, else a step of the newest screening of its tube; null when the tube was not screened.</returns>
    public static async Task<RunRecord?> StepAsync(RunStore store, RunRecord run, CancellationToken cancellationToken)
    {
        if (run.Header.Screening is not null) return run;
        string? olderThan = null;
        for (var looked = 0; looked < MostLooked; looked += Page)
        {
            var page = await store.ListAsync(Page, olderThan, cancellationToken);
            if (page.FirstOrDefault(r => r.Header.Screening is not null && r.Header.Tube == run.Header.Tube) is { } step) return step;
            if (page.Count < Page) break;
            olderThan = page[^1].Header.Id;
        }
        return null;
    }
}
