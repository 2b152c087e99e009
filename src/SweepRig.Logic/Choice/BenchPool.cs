using System.Collections.Concurrent;

namespace SweepRig.Logic.Choice;

/// <summary>Benches of one problem, lent to one piece of work at a time.</summary>
internal sealed class BenchPool(ChoiceProblem problem, CancellationToken cancel)
{
    private readonly ConcurrentBag<RowBench> _benches = [];

    /// <summary>Balances of all benches; only true while none is lent.</summary>
    public long Solutions => _benches.Sum(b => b.Solutions);

    /// <summary>Does a piece of work for each number from 0, on all processors.</summary>
    public void ForEach(int count, Action<RowBench, int> work) => Parallel.For(0, count, new ParallelOptions { CancellationToken = cancel }, Rent, (n, _, bench) =>
    {
        work(bench, n);
        return bench;
    }, _benches.Add);

    public T With<T>(Func<RowBench, T> work)
    {
        cancel.ThrowIfCancellationRequested();
        var bench = Rent();
        var result = work(bench);
        _benches.Add(bench);
        return result;
    }

    private RowBench Rent() => _benches.TryTake(out var bench) ? bench : new(problem);
}
