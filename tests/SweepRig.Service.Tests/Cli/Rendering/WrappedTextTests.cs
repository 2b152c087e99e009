using SweepRig.Service.Cli.Terminal;

namespace SweepRig.Service.Tests.Cli.Rendering;

public sealed class WrappedTextTests
{
    [Fact]
    public void A_long_line_goes_on_further_in_and_loses_nothing()
    {
        Assert.Equal(["  one two", "    three", "    four"], WrappedText.Of("  one two three four", 9));
        Assert.Equal(["short"], WrappedText.Of("short", 9));
        Assert.Equal(["", ""], (string[])[.. WrappedText.Of("", 9), .. WrappedText.Of("", 9)]);
    }

    [Fact]
    public void A_word_that_is_longer_than_the_line_stands_alone() => Assert.Equal(["a", "  verylongword", "  b"], WrappedText.Of("a verylongword b", 8));

    [Fact]
    public void A_number_keeps_its_unit() => Assert.Equal(["down to", "  5.18 V and", "  2 of"], WrappedText.Of("down to 5.18 V and 2 of", 13));

    [Fact]
    public void Marks_take_no_room()
    {
        var marked = new Ink(true).Faint("one two");
        Assert.Equal([marked], WrappedText.Of(marked, 7));
        Assert.Equal(2, WrappedText.Of(marked, 6).Count());
    }
}
