using SweepRig.Analysis.Models;
using SweepRig.Domain;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Networks;

/// <summary>Where a network finds the tubes that it names by number.</summary>
public interface ITubeShelf
{
    /// <returns>The tube; refused when there is none of that number, or when no run has told its constants yet, with the sweep that would.</returns>
    Outcome<ShelfTube> Find(string number);

    /// <returns>The curve of its newest whole sweep in that connection; refused when there is none, with the sweep that would give it.</returns>
    Outcome<MeasuredCurve> Curve(string number, ConnectionKind connection) => Outcome<MeasuredCurve>.Refuse(new Refusal(
        "no-curve", "", $"the measured curve of tube {number} is asked for", "no runs are at hand here", "Take \"measured\" out, or work where the runs are."));
}

/// <summary>A tube that has been measured.</summary>
/// <param name="Number">Its number in the stock.</param>
/// <param name="TypeName">Registered designation.</param>
/// <param name="Constants">As its runs show them.</param>
/// <param name="HeaterVolts">At which it was measured. Unit: V.</param>
public sealed record ShelfTube(string Number, string TypeName, TubeParameters Constants, double HeaterVolts)
{
    /// <summary>Where the constants were seen to hold; null when nobody can tell.</summary>
    public ValidRange? Range { get; init; }

    /// <summary>Heater current of its type. Unit: A; null when not known.</summary>
    public double? HeaterAmps { get; init; }
}

/// <summary>A shelf with nothing on it: only networks whose tubes have their constants written beside them can be read.</summary>
public sealed class EmptyShelf : ITubeShelf
{
    public static EmptyShelf Instance { get; } = new();

    public Outcome<ShelfTube> Find(string number) => Outcome<ShelfTube>.Refuse(new Refusal(
        "no-stock", "", $"tube {number} is named by its number", "no stock is at hand here", "Write its constants into the network, or work where the stock is."));
}
