using System.Text.Json;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Rigs.Documents;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Domain.Studies;

namespace SweepRig.Storage.Headers;

/// <summary>What is known of a run before its first sample and has no column of its own. The unit stands last in a key.</summary>
internal sealed record StoredHeader(
    string Format,
    string SoftwareVersion,
    IReadOnlyList<StoredPass> Passes,
    StoredCalibration Calibration,
    StoredRig Rig,
    StoredPermit? Permit,
    StoredScreening? Screening = null,
    StoredStudy? Study = null)
{
    public const string CurrentFormat = "run-header/1";

    public static StoredHeader From(RunHeader header) => new(
        CurrentFormat,
        header.SoftwareVersion,
        [.. header.Passes.Select(p => new StoredPass(p.Index, p.Direction, p.Points, p.Repeat, p.SecondSourceVolts))],
        StoredCalibration.From(header.Calibration),
        StoredRig.From(header.Rig),
        header.Permit is { } permit
            ? new(permit.Id, permit.Ceiling.Value, permit.Duration.Ticks / (double)TimeSpan.TicksPerSecond, permit.Reason, permit.GrantedUtc)
            : null,
        header.Screening is { } screening ? new(screening.ScreeningId, screening.Kind) : null,
        header.Study is { } study ? StoredStudy.From(study) : null);
}

/// <summary>What the headers of many runs have in common: kept once, among the shared texts.</summary>
internal sealed record StoredSetup(string Format, string SoftwareVersion, IReadOnlyList<StoredPass> Passes, StoredCalibration Calibration, StoredRig Rig)
{
    public const string CurrentFormat = "run-setup/1";

    public static StoredSetup From(StoredHeader h) => new(CurrentFormat, h.SoftwareVersion, h.Passes, h.Calibration, h.Rig);
}

/// <summary>What the header of a run has beside its <see cref="StoredSetup"/>.</summary>
internal sealed record StoredRest(string Format, StoredPermit? Permit, StoredScreening? Screening, StoredStudy? Study = null)
{
    public const string CurrentFormat = "run-header/2";

    public static StoredRest From(StoredHeader h) => new(CurrentFormat, h.Permit, h.Screening, h.Study);

    public StoredHeader With(StoredSetup setup) => new(StoredHeader.CurrentFormat, setup.SoftwareVersion, setup.Passes, setup.Calibration, setup.Rig, Permit, Screening, Study);
}

/// <summary>The screening that a run is a step of; absent for a sweep, and in headers older than it.</summary>
internal sealed record StoredScreening(string Id, ScreeningStepKind Step)
{
    public ScreeningTag ToTag() => new(Id, Step);
}

/// <summary>The study that a run belongs to; absent for others, and in headers older than it.</summary>
/// <param name="Setup">What the study was asked to do, as its document.</param>
internal sealed record StoredStudy(string Id, StudyKind Kind, StudyRole Role, int Step, double AtSeconds, string Setup)
{
    public static StoredStudy From(StudyTag tag) => new(tag.StudyId, tag.Kind, tag.Role, tag.Step, tag.At.TotalSeconds, tag.Setup);

    public StudyTag ToTag() => new(Id, Kind, Role, Step, TimeSpan.FromSeconds(AtSeconds), Setup);
}

internal sealed record StoredPass(int Index, PassDirection Direction, int Points, int Repeat, double? SecondSourceVolts)
{
    public PassHeader ToPass() => new(Index, Direction, Points, Repeat, SecondSourceVolts);
}

/// <param name="Document">The calibration document; null for nominal values and in headers older than it. The lines beside it are its gain and offset, for readers that know no more.</param>
/// <param name="Stale">The calibration's time was over when the run was made.</param>
internal sealed record StoredCalibration(
    string Id, string RigSerialNumber, IReadOnlyList<StoredCorrection> Channels, StoredCorrection Drive, JsonElement? Document = null, bool? Stale = null)
{
    public static StoredCalibration From(RigCalibration c) => new(
        c.Id, c.RigSerialNumber, [.. c.Channels.Select(StoredCorrection.From)], StoredCorrection.From(c.Drive),
        c.Origin is null ? null : JsonElement.Parse(CalibrationDocument.Write(c)), c.IsStale ? true : null);

    /// <exception cref="InvalidDataException">The document is damaged or of a later format.</exception>
    public RigCalibration ToCalibration() => (Document is { } document ? Read(document) : new(
        Id, RigSerialNumber, [.. Channels.Select(c => c.ToCorrection())], Drive.ToCorrection())) with { IsStale = Stale ?? false };

    private static RigCalibration Read(JsonElement document)
    {
        var read = CalibrationDocument.Parse(document);
        return read.IsAccepted ? read.Value : throw new InvalidDataException($"The calibration of a run is not readable: {read.Refusals[0]}");
    }
}

internal sealed record StoredCorrection(double Gain, double OffsetVolts, double GainUncertainty, double OffsetUncertaintyVolts)
{
    public static StoredCorrection From(VoltageCorrection c) => new(c.Gain, c.OffsetVolts, c.GainUncertainty, c.OffsetUncertaintyVolts);

    public VoltageCorrection ToCorrection() => new(Gain, OffsetVolts, GainUncertainty, OffsetUncertaintyVolts);
}

internal sealed record StoredPermit(Guid Id, double CeilingVolts, double DurationSeconds, string Reason, DateTimeOffset GrantedUtc)
{
    public Permit ToPermit() => new(
        Id, new Volts(CeilingVolts), TimeSpan.FromTicks((long)Math.Round(DurationSeconds * TimeSpan.TicksPerSecond)), Reason, GrantedUtc);
}
