using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Calibrating;

/// <summary>Where the readings of a calibration come from.</summary>
public interface IMeterReader
{
    /// <summary>Shown before the meter is read; true when somebody reads it and may be told so.</summary>
    bool IsPerson { get; }

    /// <summary>Reads a step.</summary>
    Task<MeterAnswer> ReadAsync(CalibrationStepView step, CancellationToken cancellationToken);

    /// <summary>Accepts the residuals?</summary>
    Task<MeterAnswer> ReviewAsync(CancellationToken cancellationToken);

    /// <summary>Something was refused: what next? <see cref="MeterAnswerKind.Take"/> tries the step again.</summary>
    Task<MeterAnswer> AfterRefusalAsync(CancellationToken cancellationToken);
}

/// <param name="Kind">What to do.</param>
/// <param name="Value">Of a reading; null for the practice meter's.</param>
/// <param name="What">Of a redo.</param>
public sealed record MeterAnswer(MeterAnswerKind Kind, double? Value = null, string What = "");

public enum MeterAnswerKind
{
    Take,
    Redo,
    LeaveOutPositive,

    /// <summary>Ends for now; all that was read is kept.</summary>
    Later,
}
