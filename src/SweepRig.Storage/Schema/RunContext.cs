using System.Text.Json;
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

    public DbSet<NightRow> Nights => Set<NightRow>();
    public DbSet<NightStepRow> NightSteps => Set<NightStepRow>();

    public DbSet<LotRow> Lots => Set<LotRow>();
    public DbSet<TubeRow> Tubes => Set<TubeRow>();
    public DbSet<TubeChangeRow> TubeChanges => Set<TubeChangeRow>();
    public DbSet<EventRow> Events => Set<EventRow>();

    // One type on both databases.
    protected override void ConfigureConventions(ModelConfigurationBuilder configurationBuilder) => configurationBuilder.Properties<bool>().HaveConversion<int>();

    protected override void OnModelCreating(ModelBuilder modelBuilder)
    {
        modelBuilder.Entity<RunRow>().ToTable("runs").HasKey(r => r.Number);
        modelBuilder.Entity<BlockRow>().ToTable("blocks").HasKey(b => new { b.Run, b.Sequence });
        modelBuilder.Entity<PackRow>().ToTable("packs").HasKey(p => p.Number);
        modelBuilder.Entity<TextRow>().ToTable("texts").HasKey(t => t.Number);
        modelBuilder.Entity<TripRow>().ToTable("trips").HasKey(t => t.Number);
        modelBuilder.Entity<GapRow>().ToTable("gaps").HasKey(g => g.Number);
        modelBuilder.Entity<CalibrationRow>().ToTable("calibrations").HasKey(c => c.Number);
        modelBuilder.Entity<BegunCalibrationRow>().ToTable("calibrations_begun").HasKey(c => c.Rig);
        modelBuilder.Entity<LotRow>().ToTable("lots").HasKey(l => l.Number);
        modelBuilder.Entity<TubeRow>().ToTable("tubes").HasKey(t => t.Number);
        modelBuilder.Entity<TubeChangeRow>().ToTable("tube_changes").HasKey(c => c.Number);
        modelBuilder.Entity<EventRow>().ToTable("events").HasKey(e => e.Number);
        modelBuilder.Entity<NightRow>().ToTable("nights").HasKey(n => n.Number);
        modelBuilder.Entity<NightStepRow>().ToTable("night_steps").HasKey(s => s.Number);
        // A column is called as its property is, in the case of SQL; LIMIT is a word of SQL itself.
        foreach (var property in modelBuilder.Model.GetEntityTypes().SelectMany(e => e.GetProperties())) property.SetColumnName(JsonNamingPolicy.SnakeCaseLower.ConvertName(property.Name));
        modelBuilder.Entity<TripRow>().Property(t => t.Limit).HasColumnName("allowed");
    }
}
