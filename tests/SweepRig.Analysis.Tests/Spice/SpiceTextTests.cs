using SweepRig.Analysis.Spice;
using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Tests.Spice;

public sealed class SpiceTextTests
{
    private static SpiceLibrary Write(SpiceProvenance provenance, string name = "tube_skua_014") =>
        TubeSubcircuit.Write(new TubeModel(ExampleTubes.Sound6AU6 with { GridOffset = -1e-5 }, new Volts(6.3)), name, provenance);

    [Fact]
    public void Provenance_and_validity_stand_at_the_head()
    {
        var text = Write(new("tube SKUA-014, type 6AU6", "fitted to runs 12 and 13")
        {
            Notes = ["Calibration: nominal."],
            Validity = ["drive -14 V to 24 V", "plate rail 28 V"],
        }).Text;
        var head = text[..text.IndexOf(".subckt", StringComparison.Ordinal)];
        Assert.Contains("tube SKUA-014, type 6AU6", head, StringComparison.Ordinal);
        Assert.Contains("fitted to runs 12 and 13", head, StringComparison.Ordinal);
        Assert.Contains("Calibration: nominal.", head, StringComparison.Ordinal);
        Assert.Contains("Valid for drive -14 V to 24 V; plate rail 28 V.", head, StringComparison.Ordinal);
        Assert.All(head.Split('\n', StringSplitOptions.RemoveEmptyEntries), l => Assert.StartsWith("*", l, StringComparison.Ordinal));
    }

    [Fact]
    public void Without_a_range_it_says_so() =>
        Assert.Contains("no range is known", Write(new("a tube", "an example")).Text, StringComparison.Ordinal);

    [Fact]
    public void What_a_user_wrote_cannot_leave_its_comment()
    {
        var text = Write(new("tube A\n.include /etc/passwd\r\nRx 1 0 1", "50 \u00b5A at 10 k\u03a9 \u2013 fine\u2028.end")).Text;
        Assert.All(text, c => Assert.True(char.IsAscii(c)));
        Assert.DoesNotContain(text.Split('\n'), l => l.StartsWith(".include", StringComparison.Ordinal) || l.StartsWith("Rx", StringComparison.Ordinal) || l == ".end");
        Assert.Contains("50 uA at 10 kohm ? fine .end", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Only_what_SPICE3_knows_is_used()
    {
        var text = Write(new("a tube", "an example")).Text;
        var statements = text.Replace("\n+ ", "", StringComparison.Ordinal).Split('\n', StringSplitOptions.RemoveEmptyEntries).Where(l => l[0] != '*').ToList();
        Assert.All(statements, s => Assert.Matches(@"^(\.subckt|\.ends|B|R|X)", s));
        var functions = statements.SelectMany(s => System.Text.RegularExpressions.Regex.Matches(s, @"([a-z_]\w*)\(").Select(m => m.Groups[1].Value)).Distinct().Order(StringComparer.Ordinal);
        Assert.Equal(["abs", "atanh", "exp", "ln", "sqrt", "uramp", "v"], functions);
        Assert.All(text.Split('\n'), l => Assert.True(l.Length <= 110, l));
        // A sign after an operator, and a unit letter after a number, are read differently by different simulators.
        Assert.All(statements, s => Assert.DoesNotMatch(@"[-+*/][-+]", s));
        Assert.All(statements.Where(s => s[0] is 'B'), s => Assert.DoesNotMatch(@"(?<![a-z])\d+(\.\d+)?[a-df-z]", s[s.IndexOf('=', StringComparison.Ordinal)..]));
    }

    [Theory]
    [InlineData("SKUA-014", "tube_skua_014")]
    [InlineData("  7/b ", "tube_7_b")]
    public void A_label_becomes_a_name(string label, string name) => Assert.Equal(name, SpiceName.Of(label));

    [Fact]
    public void A_label_of_nothing_is_refused() =>
        Assert.Contains("'--'", Assert.Throws<ArgumentException>(() => SpiceName.Of("--")).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("")]
    [InlineData("6au6")]
    [InlineData("tube 1")]
    [InlineData("tube\n.end")]
    [InlineData("r\u00f6hre")]
    public void A_name_that_SPICE_does_not_take_is_refused(string name) =>
        Assert.Contains($"'{name}'", Assert.Throws<ArgumentException>(() => Write(new("a tube", "an example"), name)).Message, StringComparison.Ordinal);
}
