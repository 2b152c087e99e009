using SweepRig.Domain.Interlocks;

namespace SweepRig.Domain.Tests.Interlocks;

public sealed class TripGuideTests
{
    public static TheoryData<TripCause> Causes => [.. Enum.GetValues<TripCause>()];

    [Theory]
    [MemberData(nameof(Causes))]
    public void Every_number_has_title_cause_and_remedy(TripCause cause)
    {
        var advice = TripGuide.For(cause);
        Assert.True(advice.Title.Length is > 10 and < 60, advice.Title);
        Assert.True(advice.LikelyCause.Length > 20 && advice.LikelyCause.EndsWith('.'), advice.LikelyCause);
        Assert.True(advice.Remedy.Length > 20 && advice.Remedy.EndsWith('.'), advice.Remedy);
    }

    [Fact]
    public void No_two_causes_share_a_title() =>
        Assert.Equal(Causes.Count, Enum.GetValues<TripCause>().Select(c => TripGuide.For(c).Title).Distinct().Count());

    [Fact]
    public void An_unknown_number_is_a_bug() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => TripGuide.For((TripCause)99));
}
