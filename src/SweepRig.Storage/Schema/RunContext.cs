using Microsoft.EntityFrameworkCore;

namespace SweepRig.Storage.Schema;

/// <summary>The tables as EF Core sees them. <see cref="StoreSchema"/> makes them.</summary>
internal sealed class RunContext(DbContextOptions<RunContext> options) : DbContext(options)
{
    public DbSet<RunRow> Runs => Set<RunRow>();
    public DbSet<BlockRow> Blocks => Set<BlockRow>();
    public DbSet<PackRow> Packs => Set<PackRow>();
    public DbSet<TextRow> Texts => Set<TextRow>();
    public DbSet<TripRow> Trips => Set<TripRow>();
    public DbSet<GapRow> Gaps => Set<GapRow>();
    public DbSet<CalibrationRow> Calibrations => Set<CalibrationRow>();
    public DbSet<BegunCalibrationRow> BegunCalibrations => Set<BegunCalibrationRow>();

    public DbSet<LotRow> Lots => Set<LotRow>();
    public DbSet<TubeRow> Tubes => Set<TubeRow>();
    public DbSet<TubeChangeRow> TubeChanges => Set<TubeChangeRow>();

    // One type on both databases.
    protected override void ConfigureConventions(ModelConfigurationBuilder configurationBuilder) => configurationBuilder.Properties<bool>().HaveConversion<int>();

    protected override void OnModelCreating(ModelBuilder modelBuilder)
    {
        StockTables.Describe(modelBuilder);
        modelBuilder.Entity<RunRow>(run =>
        {
            run.ToTable("runs").HasKey(r => r.Number);
            run.Property(r => r.Number).HasColumnName("number");
            run.Property(r => r.Id).HasColumnName("id");
            run.Property(r => r.Started).HasColumnName("started");
            run.Property(r => r.Ended).HasColumnName("ended");
            run.Property(r => r.State).HasColumnName("state");
            run.Property(r => r.Samples).HasColumnName("samples");
            run.Property(r => r.TubeLabel).HasColumnName("tube_label");
            run.Property(r => r.TubeType).HasColumnName("tube_type");
            run.Property(r => r.Lot).HasColumnName("lot");
            run.Property(r => r.Socket).HasColumnName("socket");
            run.Property(r => r.Bench).HasColumnName("bench");
            run.Property(r => r.Writes).HasColumnName("writes");
            run.Property(r => r.Screening).HasColumnName("screening");
            run.Property(r => r.Plan).HasColumnName("plan");
            run.Property(r => r.PlanText).HasColumnName("plan_text");
            run.Property(r => r.SetupText).HasColumnName("setup_text");
            run.Property(r => r.Header).HasColumnName("header");
        });
        modelBuilder.Entity<BlockRow>(block =>
        {
            block.ToTable("blocks").HasKey(b => new { b.Run, b.Sequence });
            block.Property(b => b.Run).HasColumnName("run");
            block.Property(b => b.Sequence).HasColumnName("sequence");
            block.Property(b => b.Pass).HasColumnName("pass");
            block.Property(b => b.FrameIndex).HasColumnName("frame_index");
            block.Property(b => b.Samples).HasColumnName("samples");
            block.Property(b => b.Data).HasColumnName("data");
        });
        modelBuilder.Entity<PackRow>(pack =>
        {
            pack.ToTable("packs").HasKey(p => p.Number);
            pack.Property(p => p.Number).HasColumnName("number");
            pack.Property(p => p.Run).HasColumnName("run");
            pack.Property(p => p.Sequence).HasColumnName("sequence");
            pack.Property(p => p.Blocks).HasColumnName("blocks");
            pack.Property(p => p.Data).HasColumnName("data");
        });
        modelBuilder.Entity<TextRow>(text =>
        {
            text.ToTable("texts").HasKey(t => t.Number);
            text.Property(t => t.Number).HasColumnName("number");
            text.Property(t => t.Hash).HasColumnName("hash");
            text.Property(t => t.Body).HasColumnName("body");
        });
        modelBuilder.Entity<TripRow>(trip =>
        {
            trip.ToTable("trips").HasKey(t => t.Number);
            trip.Property(t => t.Number).HasColumnName("number");
            trip.Property(t => t.Run).HasColumnName("run");
            trip.Property(t => t.Cause).HasColumnName("cause");
            trip.Property(t => t.ByRig).HasColumnName("by_rig");
            trip.Property(t => t.Measured).HasColumnName("measured");
            trip.Property(t => t.Limit).HasColumnName("allowed");
            trip.Property(t => t.Occurred).HasColumnName("occurred");
            trip.Property(t => t.RigMicroseconds).HasColumnName("rig_microseconds");
        });
        modelBuilder.Entity<GapRow>(gap =>
        {
            gap.ToTable("gaps").HasKey(g => g.Number);
            gap.Property(g => g.Number).HasColumnName("number");
            gap.Property(g => g.Run).HasColumnName("run");
            gap.Property(g => g.Pass).HasColumnName("pass");
            gap.Property(g => g.FirstPoint).HasColumnName("first_point");
            gap.Property(g => g.Points).HasColumnName("points");
            gap.Property(g => g.Reason).HasColumnName("reason");
        });
        modelBuilder.Entity<CalibrationRow>(calibration =>
        {
            calibration.ToTable("calibrations").HasKey(c => c.Number);
            calibration.Property(c => c.Number).HasColumnName("number");
            calibration.Property(c => c.Id).HasColumnName("id");
            calibration.Property(c => c.Rig).HasColumnName("rig");
            calibration.Property(c => c.Made).HasColumnName("made");
            calibration.Property(c => c.Document).HasColumnName("document");
        });
        modelBuilder.Entity<BegunCalibrationRow>(begun =>
        {
            begun.ToTable("calibrations_begun").HasKey(c => c.Rig);
            begun.Property(c => c.Rig).HasColumnName("rig");
            begun.Property(c => c.Saved).HasColumnName("saved");
            begun.Property(c => c.Document).HasColumnName("document");
        });
    }
}
