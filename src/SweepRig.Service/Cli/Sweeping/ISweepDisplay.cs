using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Sweeping;

/// <summary>Shows how a sweep gets on.</summary>
public interface ISweepDisplay
{
    /// <summary>Runs the work with the display up; takes it down at the end, however that comes.</summary>
    Task<T> DuringAsync<T>(string what, Func<Task<T>> work);

    void Show(ProgressView progress, Reading? newest);
}

/// <summary>For files and pipes: shows nothing.</summary>
public sealed class NoDisplay : ISweepDisplay
{
    public Task<T> DuringAsync<T>(string what, Func<Task<T>> work) => work();

    public void Show(ProgressView progress, Reading? newest)
    {
    }
}
