using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests;

public sealed class DataDirectoryLockTests : IDisposable
{
    private readonly TemporaryDirectory _directory = new();

    public void Dispose() => _directory.Dispose();

    [Fact]
    public void A_second_taker_learns_who_holds_it_and_what_to_do()
    {
        using var first = DataDirectoryLock.TryTake(_directory.Path).Value;
        Assert.NotNull(first);
        var second = DataDirectoryLock.TryTake(_directory.Path);
        var refusal = Assert.Single(second.Refusals);
        Assert.Equal("data-directory-in-use", refusal.Code);
        Assert.Equal(
            $"{_directory.Path} is in use by process {Environment.ProcessId}, another sweeprig; one sweeprig at a time may record into a data directory. "
                + "Use that one, end it, or choose another directory with --data.",
            refusal.ToString());
    }

    [Fact]
    public void It_can_be_taken_again_after_it_was_given_back()
    {
        for (var i = 0; i < 3; i++)
        {
            using var taken = DataDirectoryLock.TryTake(_directory.Path).Value;
            Assert.NotNull(taken);
        }
    }

    [Fact]
    public void A_directory_that_cannot_be_made_is_refused_by_name()
    {
        File.WriteAllText(_directory["occupied"], "a file");
        var refusal = Assert.Single(DataDirectoryLock.TryTake(_directory["occupied"]).Refusals);
        Assert.Equal("data-directory-not-writable", refusal.Code);
        Assert.Contains("occupied", refusal.Asked, StringComparison.Ordinal);
    }
}
