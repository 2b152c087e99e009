using SweepRig.Domain.Rigs;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests;

public abstract class CalibrationStoreTests(PostgresServer? server) : StoreTests(server)
{
    [Fact]
    public async Task The_newest_of_a_rig_comes_first_and_those_of_other_rigs_stay_apart()
    {
        await using var runs = await OpenAsync();
        var store = new CalibrationStore(runs, TimeProvider.System);
        var older = Examples.Calibration;
        var newer = Made("cal-2", older.RigSerialNumber, 10);
        var other = Made("cal-3", "RIG-0042", 20);
        foreach (var calibration in new[] { newer, other, older }) Assert.Empty((await store.AddAsync(calibration, Cancel)).Refusals);
        Assert.Equal(["cal-2", "cal-1"], (await store.ListAsync(older.RigSerialNumber, Cancel)).Select(c => c.Id));
        Assert.Equal(["cal-3", "cal-2", "cal-1"], (await store.ListAsync(null, Cancel)).Select(c => c.Id));
        var found = await store.FindAsync("cal-1", Cancel);
        Assert.Equal(older.Channels, found!.Channels);
        Assert.Equal(older.Origin, found.Origin);
        Assert.Null(await store.FindAsync("cal-9", Cancel));
    }

    [Fact]
    public async Task A_finished_calibration_is_never_changed()
    {
        await using var runs = await OpenAsync();
        var store = new CalibrationStore(runs, TimeProvider.System);
        Assert.Empty((await store.AddAsync(Examples.Calibration, Cancel)).Refusals);
        Assert.Empty((await store.AddAsync(Examples.Calibration, Cancel)).Refusals);
        var changed = Examples.Calibration with { Drive = Examples.Correction with { Slope = 1.2 } };
        Assert.Equal("calibration-id-taken", Assert.Single((await store.AddAsync(changed, Cancel)).Refusals).Code);
        Assert.Equal("calibration-id-taken", Assert.Single((await store.CheckAsync(changed, Cancel)).Refusals).Code);
        Assert.Empty((await store.CheckAsync(Examples.Calibration, Cancel)).Refusals);
        Assert.Equal(1.004, (await store.FindAsync("cal-1", Cancel))!.Drive.Slope);
    }

    [Fact]
    public async Task What_is_under_way_outlives_the_process_and_ends_with_the_calibration()
    {
        await using (var first = await OpenAsync())
        {
            var before = new CalibrationStore(first, TimeProvider.System);
            Assert.Null(await before.BegunAsync("SIM-0001", Cancel));
            await before.SaveBegunAsync("SIM-0001", "one", Cancel);
            await before.SaveBegunAsync("SIM-0001", "two", Cancel);
            await before.SaveBegunAsync("RIG-0042", "other", Cancel);
        }
        await using var runs = await OpenAsync();
        var store = new CalibrationStore(runs, TimeProvider.System);
        Assert.Equal("two", await store.BegunAsync("SIM-0001", Cancel));
        // One that comes from elsewhere costs nothing of it.
        await store.AddAsync(Made("cal-4", "SIM-0001", 0), Cancel);
        Assert.Equal("two", await store.BegunAsync("SIM-0001", Cancel));
        await store.FinishAsync(Made("cal-5", "SIM-0001", 0), Cancel);
        Assert.Null(await store.BegunAsync("SIM-0001", Cancel));
        Assert.Equal("other", await store.BegunAsync("RIG-0042", Cancel));
        await store.DropBegunAsync("RIG-0042", Cancel);
        Assert.Null(await store.BegunAsync("RIG-0042", Cancel));
    }

    private static RigCalibration Made(string id, string rig, int days) => Examples.Calibration with
    {
        Id = id,
        RigSerialNumber = rig,
        Origin = Examples.Calibration.Origin! with { MadeUtc = Examples.Started.AddDays(days), ValidUntilUtc = Examples.Started.AddDays(days + 180) },
    };
}

public sealed class CalibrationStoreOnSqliteTests() : CalibrationStoreTests(null);

public sealed class CalibrationStoreOnPostgresTests(PostgresServer server) : CalibrationStoreTests(server);
