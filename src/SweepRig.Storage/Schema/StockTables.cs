using Microsoft.EntityFrameworkCore;

namespace SweepRig.Storage.Schema;

/// <summary>Lots, tubes and their changes as EF Core sees them.</summary>
internal static class StockTables
{
    public static void Describe(ModelBuilder modelBuilder)
    {
        modelBuilder.Entity<LotRow>(lot =>
        {
            lot.ToTable("lots").HasKey(l => l.Number);
            lot.Property(l => l.Number).HasColumnName("number");
            lot.Property(l => l.Name).HasColumnName("name");
            lot.Property(l => l.Prefix).HasColumnName("prefix");
            lot.Property(l => l.Type).HasColumnName("type");
            lot.Property(l => l.Origin).HasColumnName("origin");
            lot.Property(l => l.Price).HasColumnName("price");
            lot.Property(l => l.Note).HasColumnName("note");
            lot.Property(l => l.Booked).HasColumnName("booked");
        });
        modelBuilder.Entity<TubeRow>(tube =>
        {
            tube.ToTable("tubes").HasKey(t => t.Number);
            tube.Property(t => t.Number).HasColumnName("number");
            tube.Property(t => t.Label).HasColumnName("label");
            tube.Property(t => t.Lot).HasColumnName("lot");
            tube.Property(t => t.Ordinal).HasColumnName("ordinal");
        });
        modelBuilder.Entity<TubeChangeRow>(change =>
        {
            change.ToTable("tube_changes").HasKey(c => c.Number);
            change.Property(c => c.Number).HasColumnName("number");
            change.Property(c => c.Tube).HasColumnName("tube");
            change.Property(c => c.Kind).HasColumnName("kind");
            change.Property(c => c.Text).HasColumnName("text");
            change.Property(c => c.At).HasColumnName("at");
        });
    }
}
