using System.Globalization;
using SweepRig.Storage;

namespace SweepRig.Service.Doctor;

/// <summary>The store, and what waits for its server.</summary>
public static class StoreChecks
{
    private const string Topic = "store";

    /// <summary>Asks the store.</summary>
    public static async Task<(StoreProbe? Probe, RunStoreException? Fault)> ProbeAsync(StorePlace place, CancellationToken cancellationToken)
    {
        try
        {
            return (await StoreProbe.OfAsync(place, cancellationToken), null);
        }
        catch (RunStoreException fault)
        {
            return (null, fault);
        }
    }

    public static IEnumerable<Finding> Of(StoreProbe? probe, RunStoreException? fault)
    {
        if (probe is null)
        {
            // The remedy is the last sentence of such a message.
            var message = fault!.Message.TrimEnd('.');
            var cut = message.LastIndexOf(". ", StringComparison.Ordinal);
            yield return Finding.Bad(Topic, cut < 0 ? message : message[..cut], cut < 0 ? "Look at the store." : message[(cut + 2)..] + ".");
            yield break;
        }
        yield return probe.Version switch
        {
            0 => Finding.Good(Topic, $"{probe.Name}: nothing is recorded yet; it is made with the first run"),
            var version when version < probe.Latest => Finding.Look(
                Topic, $"{probe.Name} has tables of version {version}; this program works with {probe.Latest}",
                "The next start brings it there by itself. Copy the store first if an older SweepRig is to read it again."),
            var version => Finding.Good(Topic, $"{probe.Name}: opens and takes writes, tables of version {version}, the newest"),
        };
        if (probe.Waiting > 0)
            yield return Finding.Look(
                "waiting", $"{probe.Waiting.ToString("#,0", CultureInfo.InvariantCulture)} writes wait for the server in {probe.WaitingIn}", "Start the server; the running service brings them there, or the next start does.");
        else if (probe.WaitingIn is not null)
            yield return Finding.Good("waiting", "nothing waits for the server");
    }
}
