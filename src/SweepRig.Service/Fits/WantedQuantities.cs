using System.Globalization;
using SweepRig.Analysis.Designs;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Live;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Fits;

/// <summary>The words for what a next sweep is to make surer. Pure.</summary>
public static class WantedQuantities
{
    public const string Switching = "switching", Everything = "everything", OutputAt = "output@";

    public const string Choices = "switching, output@DRIVE (for example output@-1.5), everything, or a constant as fit --json names it (for example screenMu)";

    /// <param name="word">As given.</param>
    /// <param name="like">The run that is asked about: its connection and drives are meant.</param>
    public static Outcome<WantedQuantity> Read(string word, RecordedRun like)
    {
        var plan = like.Record.Header.Plan;
        var connection = plan.Connection;
        if (word == Everything) return Outcome<WantedQuantity>.Accept(new WantedQuantity.Everything());
        if (word == Switching) return Outcome<WantedQuantity>.Accept(new WantedQuantity.Switching(connection, TubeFits.Known(like, connection), plan.Start.Value, Math.Max(plan.Stop.Value, 0)));
        if (Drive(word) is { } drive)
        {
            if (Math.Abs(drive) <= PlanLimits.MaxDriveVolts) return Outcome<WantedQuantity>.Accept(new WantedQuantity.Output(connection, TubeFits.Known(like, connection), drive));
            return Outcome<WantedQuantity>.Refuse(new Refusal(
                "drive-out-of-range", "/wanted", $"the output at {new Volts(drive)} of drive", $"{new Volts(-PlanLimits.MaxDriveVolts)} to {new Volts(PlanLimits.MaxDriveVolts)} is allowed", "Name a drive that the rig can give."));
        }
        foreach (var constant in TubeCoordinates.All)
            if (word == ConstantWords.Name(constant)) return Outcome<WantedQuantity>.Accept(new WantedQuantity.Constant(constant));
        return Outcome<WantedQuantity>.Refuse(new Refusal(
            "quantity-unknown", "/wanted", $"the quantity \"{word}\"", $"known are {Choices}", $"Constants are {string.Join(", ", TubeCoordinates.All.Select(ConstantWords.Name))}."));
    }

    /// <summary>In a sentence, in its middle.</summary>
    public static string Title(WantedQuantity wanted) => wanted switch
    {
        WantedQuantity.Constant { Parameter: var constant } => ConstantWords.Title(constant) is var title ? char.ToLowerInvariant(title[0]) + title[1..] : "",
        WantedQuantity.Output { Drive: var drive } => $"the output at {new Volts(drive)} of drive",
        WantedQuantity.Switching => "the switching point",
        _ => "all constants together",
    };

    private static double? Drive(string word) =>
        word.StartsWith(OutputAt, StringComparison.Ordinal) && double.TryParse(word[OutputAt.Length..], NumberStyles.Float, CultureInfo.InvariantCulture, out var drive) && double.IsFinite(drive)
            ? drive : null;
}
