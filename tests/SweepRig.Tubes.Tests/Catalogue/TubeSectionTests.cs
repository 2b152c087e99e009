using SweepRig.Tubes.Catalogue;

namespace SweepRig.Tubes.Tests.Catalogue;

public sealed class TubeSectionTests
{
    // Basings 9A, 7BF, 9DC and that of ECH81, from memory of common tables.
    [Theory]
    [InlineData("12AX7", "triode a: p 6, g1 7, k 8; triode b: p 1, g1 2, k 3")]
    [InlineData("6J6", "triode a: p 2, g1 5, k 7; triode b: p 1, g1 6, k 7")]
    [InlineData("ECF80", "pentode: g1 2, g2 3, p 6, k 7, g3 7; triode: p 1, k 8, g1 9")]
    [InlineData("ECH81", "pentagrid: g2 1, g4 1, g1 2, k 3, g5 3, p 6, g3 7; triode: k 3, p 8, g1 9")]
    [InlineData("6AU6", "")]
    [InlineData("6AV6", "")]
    public void Each_section_has_its_pins(string name, string says) => Assert.Equal(
        says, string.Join("; ", TubeSection.Of(TypeCatalogue.BuiltIn.Find(name)!).Select(s => $"{s.Name}: {string.Join(", ", s.Pins.Select(p => $"{p.Electrode} {p.Pin}"))}")));

    [Fact]
    public void Every_double_triode_has_two_sections_with_plate_grid_and_cathode() => Assert.All(
        TypeCatalogue.BuiltIn.All.Where(t => t.Kind == TubeKind.DoubleTriode), t =>
        {
            Assert.Equal([1, 2], TubeSection.Of(t).Select(s => s.Number));
            Assert.All(TubeSection.Of(t), s => Assert.Equal(["g1", "k", "p"], s.Pins.Select(p => p.Electrode).Order(StringComparer.Ordinal)));
        });
}
