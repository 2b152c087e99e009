using System.Text.Json;

namespace SweepRig.Service.Contract;

/// <summary>A sweep that could be made next, with what it is expected to bring.</summary>
/// <param name="Says">The sweep in a phrase.</param>
/// <param name="Connection">Of the tube.</param>
/// <param name="HeaterVolts">Volts.</param>
/// <param name="Uncertainty">Standard uncertainty of the wanted quantity to be expected after it, in the unit.</param>
/// <param name="Plan">A sweep plan document.</param>
public sealed record CandidateSweepView(
    string Says, [property: OneOf("pentode", "triode")] string Connection, double PlateRailVolts, double PlateResistorOhms, double HeaterVolts, double FromDriveVolts, double ToDriveVolts, int Points,
    bool NeedsPermit, double Uncertainty, JsonElement Plan);

/// <summary>Which sweep shrinks the uncertainty of a quantity most.</summary>
/// <param name="RunIds">The runs fitted, the one of the address first.</param>
/// <param name="FitSays">The status of the fit in a sentence.</param>
/// <param name="Wanted">As asked.</param>
/// <param name="Title">The same for people, for the middle of a sentence.</param>
/// <param name="Unit">SI symbol; <c>1</c> for a ratio, and for all constants together.</param>
/// <param name="Now">Standard uncertainty as it stands, in the unit; for all constants together the geometric mean of their relative uncertainties.</param>
/// <param name="Says">The best sweep and what it is expected to bring.</param>
/// <param name="Candidates">All that were weighed, best first.</param>
public sealed record NextSweepView(
    string[] RunIds,
    [property: OneOf("good", "doubtful")] string FitStatus,
    string FitSays,
    string Wanted,
    string Title,
    string Unit,
    double Now,
    string Says,
    CandidateSweepView[] Candidates);
