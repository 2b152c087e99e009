namespace SweepRig.Wire.Exploration;

/// <content>What may happen in a world.</content>
public sealed partial class Explorer
{
    private void Possible(in World world, bool faults, bool incidents)
    {
        var stage = _hosts.Host(world.Host).Stage;
        var may = _hosts.May(world.Host, world.Interlock);
        // What is on its way comes or is lost before time goes on; what the line holds up waits longer.
        Add(Kind.TimePasses, world.ToRig.Queue.IsEmpty && world.ToHost.Queue.IsEmpty);
        OnTheWay(world.ToRig, faults, Kind.RigHears, Kind.LosesToRig, Kind.RepeatsToRig, Kind.HoldsToRig);
        OnTheWay(world.ToHost, faults, Kind.HostHears, Kind.LosesToHost, Kind.RepeatsToHost, Kind.HoldsToHost);
        Add(Kind.RigHearsHeld, world.ToRig.Held != 0);
        Add(Kind.HostHearsHeld, world.ToHost.Held != 0);
        Add(Kind.StartsNegative, may.HasFlag(Choices.Negative));
        Add(Kind.StartsPositive, may.HasFlag(Choices.Positive));
        Add(Kind.Stops, may.HasFlag(Choices.Stop));
        Add(Kind.Grants, may.HasFlag(Choices.Grant));
        Add(Kind.EndsPermit, may.HasFlag(Choices.EndPermit));
        Add(Kind.Presses, may.HasFlag(Choices.Press));
        Add(Kind.LetsGo, may.HasFlag(Choices.LetGo));
        Add(Kind.HostIsBorn, stage == LinkStage.Dead);
        Add(Kind.LineBack, world.LineOut);
        Add(Kind.Surrounds, world.Around != Around.Quiet);
        if (!incidents) return;
        Add(Kind.StartsWrong, may.HasFlag(Choices.Negative));
        Add(Kind.StartsUnpermitted, may.HasFlag(Choices.Unpermitted));
        Add(Kind.OrdersSafe, stage != LinkStage.Dead);
        Add(Kind.HostDies, stage != LinkStage.Dead);
        Add(Kind.CablePulled, !world.LineOut && stage is LinkStage.Asking or LinkStage.Up);
        Add(Kind.LineSilent, !world.LineOut);
        Add(Kind.RigResets, true);
        if (world.Around != Around.Quiet) return;
        for (var around = 1; around < Surrounding.Count; around++) _possible.Add(new(Kind.Surrounds, (Around)around));
    }

    private void OnTheWay(in Way way, bool faults, Kind comes, Kind lost, Kind repeated, Kind held)
    {
        if (way.Queue.IsEmpty) return;
        Add(comes, true);
        Add(lost, faults);
        Add(repeated, faults && way.Held == 0);
        Add(held, faults && way.Held == 0);
    }

    private void Add(Kind kind, bool can)
    {
        if (can) _possible.Add(new(kind));
    }
}
