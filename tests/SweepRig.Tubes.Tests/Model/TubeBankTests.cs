using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Model;

public sealed class TubeBankTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(4)]
    [InlineData(7)]
    [InlineData(18)]
    public void A_bank_gives_what_each_tube_gives_by_itself(int count)
    {
        var random = new Random(count);
        var bank = new TubeBank(count);
        TubeParameters[] kinds = [ExampleTubes.Sound6AU6, ExampleTubes.Weak6AU6, ExampleTubes.Sound6BH6, ExampleTubes.Sound6BH6 with { PlateSpaceSharpness = 3 }];
        for (var round = 0; round < 20; round++)
        {
            TubeModel[] tubes = [.. Enumerable.Range(0, count).Select(_ => new TubeModel(kinds[random.Next(kinds.Length)], new Volts(5.5 + random.NextDouble())))];
            double[][] at = [.. tubes.Select(_ => new[] { random.NextDouble() * 20 - 14, random.NextDouble() * 40, random.NextDouble() * 40 })];
            // In any order, and over what stood there before.
            foreach (var t in Enumerable.Range(0, count).OrderBy(_ => random.Next())) bank.Put(t, tubes[t]);
            for (var t = 0; t < count; t++) bank.Set(t, at[t][0], at[t][1], at[t][2]);
            bank.Evaluate();
            for (var t = 0; t < count; t++)
            {
                var alone = tubes[t].Evaluate(at[t][0], at[t][1], at[t][2], out var slopes);
                Assert.Equal(alone, new(bank.Results.Grid[t], bank.Results.Screen[t], bank.Results.Plate[t]));
                Assert.Equal(slopes.PlateByGrid, bank.Results.PlateByGrid[t]);
                Assert.Equal(slopes.GridByScreen, bank.Results.GridByScreen[t]);
            }
        }
    }
}
