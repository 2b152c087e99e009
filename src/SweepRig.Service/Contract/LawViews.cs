using SweepRig.Analysis;

namespace SweepRig.Service.Contract;

/// <param name="Symbol">As it is printed with the law.</param>
/// <param name="Figure">Absent, with the reason, when the runs do not determine it.</param>
public sealed record LawConstantView(string Symbol, Figure Figure);

/// <summary>A plain law beside the model of the tube, over the same readings of the output.</summary>
/// <param name="Law">Stable name.</param>
/// <param name="Title">For people.</param>
/// <param name="Source">Where the law was published.</param>
/// <param name="Connection">Of the runs that it describes.</param>
/// <param name="Findings">Without constants: why there was no fit.</param>
/// <param name="OutputRmsVolts">Root mean square of what the law leaves over of the output, volts; null without a fit.</param>
/// <param name="ModelRmsVolts">The same of the model of the tube at the same points.</param>
/// <param name="Scale">Scatter of the residuals against that of the readings: 1 for a law that describes them.</param>
/// <param name="Points">Readings of the output with the drive below 0 V and no grid current: those that the law speaks of.</param>
public sealed record LawView(
    [property: OneOf("three-halves", "free-exponent", "koren-triode", "koren-pentode")] string Law,
    string Title,
    string Source,
    [property: OneOf("pentode", "triode")] string Connection,
    FindingView[] Findings,
    LawConstantView[] Constants,
    double? OutputRmsVolts,
    double? ModelRmsVolts,
    double? Scale,
    int Points);

/// <summary>Plain laws of the literature fitted to one run or several of a tube together, beside its model.</summary>
/// <param name="RunIds">The one of the address first.</param>
/// <param name="Remark">What the uncertainties hold and what they leave out.</param>
/// <param name="Laws">Those that speak of the connections of the runs.</param>
public sealed record LawsView(string[] RunIds, CalibrationView Calibration, string Remark, LawView[] Laws);
