using Microsoft.EntityFrameworkCore;
using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Rigs.Documents;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage;

/// <summary>
/// Calibrations, and those under way, in the store of the runs. A finished one is never changed. Safe from any thread; throws <see cref="RunStoreException"/> as the run store does.
/// </summary>
public sealed class CalibrationStore(RunStore runs, TimeProvider clock)
{
    /// <summary>Calibrations, the newest made first.</summary>
    /// <param name="rigSerialNumber">Of this rig alone; null for all.</param>
    public Task<IReadOnlyList<RigCalibration>> ListAsync(string? rigSerialNumber, CancellationToken cancellationToken) =>
        runs.OnContextAsync<IReadOnlyList<RigCalibration>>(
            async context =>
            {
                var query = context.Calibrations.AsNoTracking();
                if (rigSerialNumber is not null) query = query.Where(c => c.Rig == rigSerialNumber);
                var rows = await query.OrderByDescending(c => c.Made).ThenByDescending(c => c.Number).ToListAsync(cancellationToken).ConfigureAwait(false);
                return rows.ConvertAll(Read);
            },
            cancellationToken);

    /// <summary>Whether a calibration would be kept: nothing is changed.</summary>
    /// <returns>As for <see cref="AddAsync(RigCalibration, CancellationToken)"/>.</returns>
    public async Task<Outcome<RigCalibration>> CheckAsync(RigCalibration calibration, CancellationToken cancellationToken) =>
        await FindAsync(calibration.Id, cancellationToken).ConfigureAwait(false) is not { } kept || CalibrationDocument.Write(kept) == CalibrationDocument.Write(calibration)
            ? Outcome<RigCalibration>.Accept(calibration)
            : Outcome<RigCalibration>.Refuse(Differs(calibration.Id));

    /// <returns>The calibration; null if there is none of that id.</returns>
    public Task<RigCalibration?> FindAsync(string id, CancellationToken cancellationToken) =>
        runs.OnContextAsync(
            async context => await context.Calibrations.AsNoTracking().SingleOrDefaultAsync(c => c.Id == id, cancellationToken).ConfigureAwait(false) is { } row ? Read(row) : null,
            cancellationToken);

    /// <summary>Keeps a calibration that was made elsewhere. What is under way for its rig goes on.</summary>
    /// <returns>The calibration, or the refusal when another of its id is kept.</returns>
    public Task<Outcome<RigCalibration>> AddAsync(RigCalibration calibration, CancellationToken cancellationToken) => AddAsync(calibration, endsBegun: false, cancellationToken);

    /// <summary>Keeps the calibration that was under way for its rig, which ends with it, in one transaction.</summary>
    /// <returns>As for <see cref="AddAsync(RigCalibration, CancellationToken)"/>.</returns>
    public Task<Outcome<RigCalibration>> FinishAsync(RigCalibration calibration, CancellationToken cancellationToken) => AddAsync(calibration, endsBegun: true, cancellationToken);

    /// <summary>The calibration under way for a rig, in the words of whoever saved it.</summary>
    /// <returns>Null when none is.</returns>
    public Task<string?> BegunAsync(string rigSerialNumber, CancellationToken cancellationToken) =>
        runs.OnContextAsync(
            async context => (await context.BegunCalibrations.AsNoTracking().SingleOrDefaultAsync(c => c.Rig == rigSerialNumber, cancellationToken).ConfigureAwait(false))?.Document,
            cancellationToken);

    /// <summary>Saves how far a calibration has come; durable when it returns.</summary>
    public Task SaveBegunAsync(string rigSerialNumber, string document, CancellationToken cancellationToken) =>
        runs.InTurnAsync(
            async context =>
            {
                var saved = RunRows.Text(clock.GetUtcNow());
                var changed = await context.BegunCalibrations.Where(c => c.Rig == rigSerialNumber)
                    .ExecuteUpdateAsync(set => set.SetProperty(c => c.Saved, saved).SetProperty(c => c.Document, document), cancellationToken).ConfigureAwait(false);
                if (changed > 0) return (true, true);
                context.BegunCalibrations.Add(new() { Rig = rigSerialNumber, Saved = saved, Document = document });
                await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
                return (true, true);
            },
            cancellationToken);

    /// <summary>Gives up what is under way for a rig.</summary>
    public Task DropBegunAsync(string rigSerialNumber, CancellationToken cancellationToken) =>
        runs.OnContextAsync(context => context.BegunCalibrations.Where(c => c.Rig == rigSerialNumber).ExecuteDeleteAsync(cancellationToken), cancellationToken);

    private Task<Outcome<RigCalibration>> AddAsync(RigCalibration calibration, bool endsBegun, CancellationToken cancellationToken) =>
        runs.InTurnAsync(
            async context =>
            {
                if (calibration.Origin is not { } origin) throw new ArgumentException("Nominal values are no calibration.", nameof(calibration));
                var document = CalibrationDocument.Write(calibration);
                if (await context.Calibrations.AsNoTracking().SingleOrDefaultAsync(c => c.Id == calibration.Id, cancellationToken).ConfigureAwait(false) is { } kept)
                    return (kept.Document == document ? Outcome<RigCalibration>.Accept(calibration) : Outcome<RigCalibration>.Refuse(Differs(calibration.Id)), false);
                context.Calibrations.Add(new() { Id = calibration.Id, Rig = calibration.RigSerialNumber, Made = RunRows.Text(origin.MadeUtc), Document = document });
                await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
                if (endsBegun) await context.BegunCalibrations.Where(c => c.Rig == calibration.RigSerialNumber).ExecuteDeleteAsync(cancellationToken).ConfigureAwait(false);
                return (Outcome<RigCalibration>.Accept(calibration), true);
            },
            cancellationToken);

    private RigCalibration Read(CalibrationRow row)
    {
        var read = CalibrationDocument.Parse(row.Document);
        return read.IsAccepted
            ? read.Value
            : throw new RunStoreException(runs.Name, $"calibration {row.Id} cannot be read: {read.Refusals[0]}", "Restore the file from a backup, or use a newer SweepRig.");
    }

    private static Refusal Differs(string id) => new(
        "calibration-id-taken", "/id", $"calibration {id}", "another calibration of this id is kept, and a finished one is never changed", "Give the document another id.");
}
