using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Calibration.Fitting;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Simulated;
using SweepRig.Sweeps.Calibrating;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Tests.Calibrating;

/// <summary>One comparison of a corrected reading with the truth.</summary>
/// <param name="Name">Channel or drive.</param>
/// <param name="ErrorVolts">Corrected less true.</param>
/// <param name="ExpandedVolts">Stated, 95 %.</param>
public sealed record TruthCheck(string Name, double ErrorVolts, double ExpandedVolts)
{
    public bool Agrees => Math.Abs(ErrorVolts) <= ExpandedVolts;
}

/// <summary>
/// A simulated rig with a seeded false gain and offset on every channel and the drive, unpaced, calibrated with a seeded meter through runner, link and procedure;
/// then fresh voltages are read and compared with the truth.
/// </summary>
public static class FalseRig
{
    /// <summary>Largest gain and offset error. A rig whose drive and read-back differ by more than 0.5 V at 24 V would trip by itself.</summary>
    public const double GainError = 5e-3, OffsetErrorVolts = 0.02;

    /// <summary>Invented: a hand-held meter of 60,000 counts, ±(0.05 % of reading + 3 counts).</summary>
    private static readonly ReferenceMeter Meter = new("hand-held, 60,000 counts", "M-7", 0.05, 0, 60, 3, 0.001, 0.2);

    private static readonly Connection Fixture = new(ConnectionKind.Pentode, new(28), new(-14), new(6.3), new(10_000), new(100), new(4_700));
    private static readonly TimeSpan Deadline = TimeSpan.FromMinutes(2);

    /// <summary>Calibrates the rig of a seed and reads one fresh voltage on each channel and the drive.</summary>
    /// <exception cref="InvalidOperationException">A step was refused; the message says why.</exception>
    public static async Task<IReadOnlyList<TruthCheck>> CheckAsync(int seed, double bowVolts = 0)
    {
        var options = new SimulatedRigOptions
        {
            Seed = seed, GainError = GainError, OffsetErrorVolts = OffsetErrorVolts, BowVolts = bowVolts, Unpaced = true, StatusMilliseconds = 50, Tubes = [null], LeaseMilliseconds = 300,
        };
        await using var rig = new SimulatedRig(options, TimeProvider.System);
        await using var link = new LinkRig(new SimulatedRigPort(rig), TimeProvider.System, NullLogger<LinkRig>.Instance);
        await using var runner = new SweepRunner(link, new NoRuns(), new(), TimeProvider.System, NullLogger<SweepRunner>.Instance);
        using var viewer = runner.Feed.Subscribe();
        runner.Start();
        using var late = new CancellationTokenSource(Deadline);
        await foreach (var _ in viewer.ReadAllAsync(late.Token))
            if (runner.State.Link == RigLinkState.Connected) break;
        var meter = new PracticeMeter(rig, Meter, seed);

        var procedure = new CalibrationProcedure(runner.State.Identity!, TimeProvider.System.GetUtcNow(), new(true, Meter, "", 0, Fixture, 0));
        while (procedure.Current.Kind != CalibrationStepKind.Store)
        {
            var step = procedure.Current;
            var next = step switch
            {
                { Point: { } point } => procedure.Take(step.Id, Show(meter, point, await HoldAsync(runner, point, late.Token), out var held), held),
                { Kind: CalibrationStepKind.Review } => procedure.Accept(),
                { Resistor: not null } => procedure.Take(step.Id, meter.Ohms(step.Expected), null),
                _ => procedure.Take(step.Id, meter.Show(step.Expected), null),
            };
            procedure = Accepted(next, seed, step.Id);
        }
        // The verdict of the checks is the procedure's own; here the truth judges, so that none of the seeds is left out.
        var calibration = procedure.Result!.Calibration(procedure, "c", procedure.BegunUtc, TimeSpan.FromDays(180));
        return await FreshAsync(runner, rig, calibration, seed, late.Token);
    }

    private static double Show(PracticeMeter meter, CalibrationPoint point, HeldReading reading, out HeldReading held)
    {
        held = reading;
        return meter.Read(CalibrationPoints.ChannelOf(point.Place));
    }

    private static async Task<IReadOnlyList<TruthCheck>> FreshAsync(SweepRunner runner, SimulatedRig rig, RigCalibration calibration, int seed, CancellationToken cancellation)
    {
        var identity = runner.State.Identity!;
        // Voltages of no step of the procedure, another for each seed.
        var random = new Random(seed ^ 0x7B0B);
        var drive = identity.Drive.ToCode(new(-13 + 12 * random.NextDouble()));
        var rail = Math.Round(4 + 32 * random.NextDouble(), 2);
        var checks = new List<TruthCheck>();
        var reading = await HoldAsync(runner, new CalibrationPoint("fresh", MeterPlace.Drive, drive, rail, 0, true), cancellation);
        checks.Add(Check("drive", calibration.Drive, identity.Drive.ToVolts(drive), 0, rig.TrueVolts(RigChannel.Drive)));
        foreach (var channel in RigChannels.All)
            checks.Add(Check(channel.ToString().ToLowerInvariant(), calibration.Channels[(int)channel], reading.NominalVolts(identity, channel), reading.NominalUncertaintyVolts(identity, channel), rig.TrueVolts(channel)));
        return checks;

        static TruthCheck Check(string name, VoltageCorrection correction, double nominal, double uncertainty, double truth)
        {
            var corrected = correction.Apply(nominal);
            return new(name, corrected - truth, ExpandedUncertainty.Of(correction, corrected, uncertainty));
        }
    }

    private static async Task<HeldReading> HoldAsync(SweepRunner runner, CalibrationPoint point, CancellationToken cancellation)
    {
        // One second of the rig's time; an unpaced rig needs far less of ours.
        var held = await runner.HoldAsync(new(point.DriveCode, point.PlateRailVolts, null, Fixture, 0, TimeSpan.FromSeconds(1)), cancellation);
        if (!held.IsAccepted) throw new InvalidOperationException($"{point.Id} was not held: {string.Join(" ", held.Refusals)}");
        // A hold that has ended by itself has nothing left to stop.
        await runner.StopAsync(cancellation);
        var read = await runner.ReadHoldAsync(cancellation);
        return read.IsAccepted ? read.Value : throw new InvalidOperationException($"{point.Id} was not read: {string.Join(" ", read.Refusals)}");
    }

    private static CalibrationProcedure Accepted(Outcome<CalibrationProcedure> outcome, int seed, string step) =>
        outcome.IsAccepted ? outcome.Value : throw new InvalidOperationException($"Seed {seed}, {step}: {string.Join(" ", outcome.Refusals)}");

    private sealed class NoRuns : IRunRecorder
    {
        public ValueTask<IRunRecording> BeginAsync(RunHeader header, CancellationToken cancellationToken) => throw new InvalidOperationException("A calibration records no run.");
    }
}
