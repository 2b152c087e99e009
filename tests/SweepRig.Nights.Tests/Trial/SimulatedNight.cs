using System.Collections.Concurrent;
using System.Diagnostics;
using System.IO.Hashing;
using SweepRig.Service.Mornings;
using SweepRig.Service.Watching.Alarms;
using SweepRig.Storage;
using SweepRig.Sweeps.Queue;
using SweepRig.Wire.Campaign;

namespace SweepRig.Nights;

/// <summary>
/// A whole night on one virtual clock, which goes on only while nothing is at work: the real service, store and night desks, simulated rigs behind lines that can be spoilt, faults from a
/// seed, and beside them watchers that judge by the rigs' own records and by what the store said that it had.
/// </summary>
public sealed class SimulatedNight : IDisposable
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(1), ReportWithin = TimeSpan.FromMinutes(1), Longest = TimeSpan.FromHours(14);

    private static readonly TimeSpan WeighEvery = TimeSpan.FromMinutes(6);

    /// <summary>
    /// Somebody looks at the report once an hour, so that one that kept something would be seen from hour to hour; and what it loads once, drawing and fonts, does not count as growth of the hour in which
    /// the nights end and make theirs.
    /// </summary>
    private static readonly TimeSpan FirstReport = TimeSpan.FromMinutes(30), ReportEvery = TimeSpan.FromHours(1);

    /// <summary>Of the clock. Real timers are as coarse on a busy computer; rigs keep their own time to the microsecond in between.</summary>
    private static readonly TimeSpan Grain = TimeSpan.FromMilliseconds(5);

    private readonly TrialPlan _plan;
    private readonly string _directory;
    private readonly Action<string> _tell;
    private readonly VirtualClock _clock = new(TrialDocuments.BeginsUtc, Grain);
    private readonly AcknowledgedRuns _acknowledged;
    private readonly ConcurrentQueue<string> _violations = new();
    private readonly List<string> _unsafe = [];
    private readonly List<long> _heap = [], _resident = [];
    private long _leastHeap = long.MaxValue, _leastResident = long.MaxValue;
    private TimeSpan _nextWeighing = WeighEvery;

    /// <summary>Steps of nights that were over before the service ended, by rig: the next service has nothing to take up there.</summary>
    private readonly ConcurrentDictionary<string, int> _overBefore = new();
    private readonly TrialFaults _faults;
    private readonly TrialOperator _operator;
    private long _wrong;
    private WitnessedRecorder _recorder = null!;
    private volatile TrialBench? _bench;

    /// <param name="directory">Data directory; empty.</param>
    /// <param name="tell">Told each hour how it goes.</param>
    public SimulatedNight(TrialPlan plan, string directory, Action<string> tell)
    {
        (_plan, _directory, _tell) = (plan, directory, tell);
        _acknowledged = new(Path.Combine(directory, "acknowledged.txt"));
        File.WriteAllText(Path.Combine(directory, AlarmDocument.FileName), TrialDocuments.Alarms);
        (_faults, _operator) = (new(plan.Seed, _clock), new(_clock, _violations.Enqueue));
    }

    private long Now => (long)_clock.Elapsed.TotalMicroseconds;

    /// <summary>Runs it, on the thread pool, which must have nothing else to do.</summary>
    public Task<TrialVerdict> RunAsync() => Task.Run(NightAsync);

    public void Dispose() => _acknowledged.Dispose();

    private async Task<TrialVerdict> NightAsync()
    {
        var took = Stopwatch.StartNew();
        await BringAboutAsync(StartAsync(begins: true)).ConfigureAwait(false);
        int hours = 0, faults = 0, restarts = 0;
        var (nextLook, nextReport) = (TimeSpan.Zero, FirstReport);
        var work = Task.CompletedTask;
        List<Task> putting = [];
        var over = 0;
        while (true)
        {
            await StepAsync().ConfigureAwait(false);
            if (_bench is { } seen) foreach (var rig in seen.Rigs) rig.Watcher.SeeBench(rig.Station.Runner.State.Permit, rig.Station.Runner.State.Trip is not null, Now);
            if (_clock.Elapsed < nextLook) continue;
            nextLook = _clock.Elapsed + LookEvery;
            Judge();
            if (_clock.Elapsed >= _nextWeighing) Weigh();
            if (_clock.Elapsed.TotalHours >= hours + 1) Hour(++hours, over, took.Elapsed);
            if (_clock.Elapsed > Longest + LookEvery) throw new InvalidOperationException($"The trial does not come to its end; over are {over} steps.");
            if (!work.IsCompleted) continue;
            await work.ConfigureAwait(false);
            var bench = _bench!;
            // The last run of a rig is judged; its samples are no part of what grows.
            foreach (var rig in bench.Rigs.Where(IsOver)) rig.Samples = ([], []);
            over = bench.Rigs.Sum(r => r.Station.Night.Picture?.Night?.Steps.Count(s => s.IsOver) ?? _overBefore.GetValueOrDefault(r.Station.Name));
            if (bench.Rigs.All(IsOver) && putting.TrueForAll(p => p.IsCompleted)) break;
            if (_clock.Elapsed > Longest)
            {
                foreach (var rig in bench.Rigs.Where(r => !IsOver(r))) _violations.Enqueue($"the night of {rig.Station.Name} is not over after {Longest.TotalHours} h: {rig.Station.Night.Picture?.Doing}");
                break;
            }
            work = Task.Run(() => _operator.LookAsync(bench));
            putting.RemoveAll(p => p.IsCompletedSuccessfully);
            if (restarts < _plan.RestartsAt.Count && over >= _plan.RestartsAt[restarts] * _plan.Jobs)
            {
                restarts++;
                work = Task.Run(() => RestartAsync([.. putting]));
            }
            else if (_clock.Elapsed >= nextReport)
            {
                nextReport += ReportEvery;
                work = Task.Run(() => bench.AskReportAsync(_clock));
            }
            else if (over >= (faults + 1) * _plan.JobsPerFault)
            {
                faults++;
                putting.Add(Task.Run(() => _faults.PutAsync(bench, _recorder)));
            }
        }
        // The report of the last night's end.
        await BringAboutAsync(Task.Delay(ReportWithin, _clock)).ConfigureAwait(false);
        var audit = AuditAsync(took);
        await BringAboutAsync(audit).ConfigureAwait(false);
        await BringAboutAsync(EndAsync()).ConfigureAwait(false);
        return await audit.ConfigureAwait(false);
    }

    private async Task StartAsync(bool begins)
    {
        var bench = await TrialBench.StartAsync(_plan, _directory, _clock, () => Now, store => _recorder = new(store, _acknowledged, Closed)).ConfigureAwait(false);
        _bench = bench;
        if (!begins) return;
        for (var i = 0; i < bench.Rigs.Count; i++)
        {
            var rig = bench.Rigs.ElementAt(i);
            while (rig.Station.Runner.State.Link != Sweeps.Running.RigLinkState.Connected) await Task.Delay(TimeSpan.FromMilliseconds(50), _clock).ConfigureAwait(false);
            var document = TrialDocuments.Of(_plan, i);
            var order = NightDocument.Parse(document);
            if (!order.IsAccepted) throw new InvalidOperationException($"The trial's night is not read: {order.Refusals[0]}");
            var begun = await rig.Station.Night.BeginAsync(order.Value, document, default).ConfigureAwait(false);
            if (!begun.IsAccepted) throw new InvalidOperationException($"The trial's night is refused: {string.Join("; ", begun.Refusals.Take(3))}");
        }
    }

    /// <summary>The service ends and another takes its place; its rigs are switched off and on with it.</summary>
    private async Task RestartAsync(Task[] faults)
    {
        await Task.WhenAll(faults).ConfigureAwait(false);
        foreach (var rig in _bench!.Rigs.Where(IsOver)) _overBefore.TryAdd(rig.Station.Name, rig.Station.Night.Picture?.Night?.Steps.Length ?? 0);
        await EndAsync().ConfigureAwait(false);
        await Task.Delay(TimeSpan.FromSeconds(20), _clock).ConfigureAwait(false);
        await StartAsync(begins: false).ConfigureAwait(false);
        var bench = _bench!;
        while (bench.Rigs.Any(r => r.Station.Night.Picture?.Night is null && !_overBefore.ContainsKey(r.Station.Name))) await Task.Delay(TimeSpan.FromMilliseconds(500), _clock).ConfigureAwait(false);
    }

    private bool IsOver(TrialBench.Rig rig) => rig.Station.Night.Picture?.IsOver ?? _overBefore.ContainsKey(rig.Station.Name);

    private async Task EndAsync()
    {
        var bench = _bench!;
        var told = await bench.StopAsync(_clock).ConfigureAwait(false);
        _unsafe.AddRange(told.Select(name => $"{name}: drives on after the service has ended, which told it to be safe"));
        _bench = null;
        foreach (var rig in bench.Rigs)
        {
            Judge(rig);
            if (!rig.Simulated.Journal.IsSafe) _unsafe.Add($"{rig.Station.Name}: drives on beyond its lease after the service has ended");
            lock (_unsafe) _unsafe.AddRange(rig.Watcher.Unsafe);
        }
        await bench.DisposeAsync().ConfigureAwait(false);
    }

    /// <summary>A run is closed: what the store said that it had is held against what the rig measured.</summary>
    private void Closed(WitnessedRun run)
    {
        if (_bench is not { } bench) return;
        var rig = bench.Of(run.Header);
        rig.Samples = (rig.Samples.Newest, rig.Simulated.Journal.TakeSamples());
        var wrong = RunJudge.Wrong(run, [.. rig.Samples.Before, .. rig.Samples.Newest]);
        Interlocked.Add(ref _wrong, wrong.Count);
        foreach (var one in wrong.Take(3)) _violations.Enqueue(one);
        if (RunJudge.GapFault(run) is { } gap) _violations.Enqueue(gap);
    }

    private void Judge()
    {
        if (_bench is not { } bench) return;
        foreach (var rig in bench.Rigs) Judge(rig);
    }

    private void Judge(TrialBench.Rig rig)
    {
        var (first, entries) = rig.Simulated.Journal.From(rig.Judged);
        if (first > rig.Judged) _violations.Enqueue($"{rig.Station.Name}: {first - rig.Judged} entries of its record were not seen");
        rig.Judged = first + entries.Count;
        rig.Watcher.Judge([.. entries.Select(e => e with { AtMicroseconds = e.AtMicroseconds + rig.SwitchedOnAt })], Now);
    }

    /// <summary>What the sweeps under way hold at a moment is no part of what grows: of several looks within an hour the least counts.</summary>
    private void Weigh()
    {
        _nextWeighing = _clock.Elapsed + WeighEvery;
        GC.Collect(2, GCCollectionMode.Aggressive, blocking: true, compacting: true);
        GC.WaitForPendingFinalizers();
        _leastHeap = Math.Min(_leastHeap, GC.GetTotalMemory(forceFullCollection: true));
        using var process = Process.GetCurrentProcess();
        _leastResident = Math.Min(_leastResident, process.WorkingSet64);
    }

    private void Hour(int hour, int over, TimeSpan took)
    {
        _heap.Add(_leastHeap);
        _resident.Add(_leastResident);
        _leastHeap = _leastResident = long.MaxValue;
        _tell(FormattableString.Invariant($"  {hour,2} h: {over} steps over, heap {_heap[^1] / 1e6:0.0} MB, resident {_resident[^1] / 1e6:0} MB, after {took.TotalSeconds:0} s and {Environment.CpuUsage.TotalTime.TotalSeconds:0} s of processors"));
    }

    private async Task<TrialVerdict> AuditAsync(Stopwatch took)
    {
        var bench = _bench!;
        long lost = Interlocked.Read(ref _wrong), samples = 0;
        var acknowledged = _acknowledged.All();
        foreach (var (run, count, sum) in acknowledged)
        {
            samples += count;
            var (stored, storedSum) = await SumAsync(bench.Store, run).ConfigureAwait(false);
            if (storedSum == sum) continue;
            lost += Math.Max(1, count - stored);
            _violations.Enqueue($"run {run}: {count} samples were acknowledged, {stored} are there, or they differ");
        }
        foreach (var report in (string[])["morning-*.html", "morning-*.pdf", "night-*.html", "night-*.pdf"])
            if (Directory.GetFiles(Path.Combine(_directory, MorningDesk.Folder), report).Length == 0) _violations.Enqueue($"no report {report} was made");
        int passed = 0, repeated = 0, reported = 0, unaccounted = 0;
        foreach (var night in await bench.Nights.ListAsync(100, null, default).ConfigureAwait(false))
        {
            var steps = (await bench.Nights.StepsAsync(night.Id, default).ConfigureAwait(false)).GroupBy(s => s.Step).ToDictionary(g => g.Key, g => g.MaxBy(s => s.Attempt)!);
            for (var i = 0; i < _plan.JobsOfRig; i++)
            {
                if (!steps.TryGetValue(i, out var step) || step.State == StoredNightStep.Running || string.IsNullOrEmpty(step.Verdict))
                {
                    unaccounted++;
                    _violations.Enqueue($"step {i} of night {night.Id} is {step?.State ?? "nowhere"} after attempt {step?.Attempt}: \"{step?.Verdict}\"");
                }
                else if (step.State == "passed") passed++;
                else reported++;
                if (step is { Attempt: > 1 }) repeated++;
            }
        }
        var unsafeStates = _unsafe.Concat(bench.Rigs.SelectMany(r => r.Watcher.Unsafe)).ToArray();
        return new(passed, repeated, reported, unaccounted, acknowledged.Count, samples, lost, unsafeStates, new Dictionary<string, int>(_faults.Put) { ["service restarted"] = _plan.RestartsAt.Count, ["a person came"] = _operator.Calls },
            _heap, _resident, _clock.Elapsed, took.Elapsed, [.. _violations]);
    }

    private static async Task<(long Samples, UInt128 Sum)> SumAsync(RunStore store, string run)
    {
        var sum = new XxHash128();
        long samples = 0;
        await foreach (var block in store.ReadBlocksAsync(run, 0, default).ConfigureAwait(false))
        {
            samples += block.Block.Count;
            WitnessedRecorder.Sum(sum, block.Block);
        }
        return (samples, sum.GetCurrentHashAsUInt128());
    }

    /// <summary>Lets the clock go on to its next timer, once nothing is at work.</summary>
    private async Task StepAsync()
    {
        await Quiet.Comes(() => _bench?.Workbench.UnderWay > 0);
        _clock.GoOn();
    }

    private async Task BringAboutAsync(Task task)
    {
        while (!task.IsCompleted) await StepAsync().ConfigureAwait(false);
        await task.ConfigureAwait(false);
    }
}
