using System.Text;
using SweepRig.Analysis.Spice;
using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Tests.Spice;

/// <summary>What a logic builder does with the subcircuit: a transient of several tubes that switch each other. Formulas that are exact at rest can still stop a simulator there.</summary>
[Trait("needs", "ngspice")]
public sealed class RingTests
{
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task A_ring_of_five_stages_goes_round(bool triode)
    {
        var library = TubeSubcircuit.Write(new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3)), "tube", FixtureDeck.Provenance);
        var deck = new StringBuilder("* ring of five\n").Append(library.Text).Append("Vrail r 0 28\nVbias b 0 -14\n.ic v(p0)=28\n");
        for (var n = 0; n < 5; n++)
        {
            var next = (n + 1) % 5;
            // 50 pF at the plate, 5 pF at the grid, dividers of 220 and 330 kohm with a speed-up of 47 pF.
            deck.Append($"Rp{n} r p{n} 10k\nCp{n} p{n} 0 50p\nRa{n} p{n} d{next} 220k\nCa{n} p{n} d{next} 47p\nRb{n} d{n} b 330k\nRg{n} d{n} g{n} 4.7k\nCg{n} g{n} 0 5p\n");
            deck.Append(triode ? $"X{n} p{n} g{n} 0 tube_triode\n" : $"Rs{n} r s{n} 100\nX{n} p{n} s{n} g{n} 0 tube\n");
        }

        var answer = await Ngspice.RunAsync(deck.ToString(), "tran 0.1u 60u", ["v(p0)"], TestContext.Current.CancellationToken);

        Assert.True(answer.Rows[^1][0] > 59.9e-6, answer.Said);
        var late = answer.Rows.Where(r => r[0] > 20e-6).Select(r => r[1]).ToList();
        Assert.True(late.Max() > 22, $"highest output {late.Max():0.0} V");
        Assert.True(late.Min() < 10, $"lowest output {late.Min():0.0} V");
        var crossings = late.Zip(late.Skip(1), (a, b) => (a - 15) * (b - 15) < 0).Count(c => c);
        Assert.True(crossings >= 4, $"{crossings} crossings of 15 V");
    }
}
