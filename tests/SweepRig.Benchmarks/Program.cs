using SweepRig.Benchmarks;
using SweepRig.Benchmarks.CalibrationCoverage;
using SweepRig.Benchmarks.Firmware;
using SweepRig.Benchmarks.Fits;
using SweepRig.Benchmarks.Health;
using SweepRig.Benchmarks.Interlocks;
using SweepRig.Benchmarks.LevelsSpeed;
using SweepRig.Benchmarks.Link;
using SweepRig.Benchmarks.Logic;
using SweepRig.Benchmarks.ModelSpeed;
using SweepRig.Benchmarks.Mutations;
using SweepRig.Benchmarks.Nights;
using SweepRig.Benchmarks.RecoveryCoverage;
using SweepRig.Benchmarks.SpiceAgreement;
using SweepRig.Benchmarks.Stock;
using SweepRig.Benchmarks.Stores;
using SweepRig.Benchmarks.Survival;
using SweepRig.Benchmarks.WholeSystem;

var figures = new SortedDictionary<string, Func<Task<FigureLine>>>
{
    ["adaptive-saving"] = AdaptiveSavingFigure.MeasureAsync,
    ["calibration-coverage"] = CalibrationCoverageFigure.MeasureAsync,
    ["circuits-vs-spice"] = CircuitsVsSpiceFigure.MeasureAsync,
    ["firmware-size"] = FirmwareSize.MeasureAsync,
    ["firmware-timing"] = FirmwareTimes.MeasureAsync,
    ["first-sample"] = FirstSample.MeasureAsync,
    ["fit-speed"] = FitSpeedFigure.MeasureAsync,
    ["health-confusion"] = HealthConfusion.MeasureAsync,
    ["interlock-exploration"] = InterlockExploration.MeasureAsync,
    ["interlock-latency"] = InterlockLatency.MeasureAsync,
    ["interlock-mutants"] = InterlockMutants.MeasureAsync,
    ["interlock-mutations"] = InterlockMutations.MeasureAsync,
    ["kill-recovery"] = KillRecoveryFigure.MeasureAsync,
    ["levels-speed"] = LevelsSpeedFigure.MeasureAsync,
    ["link-faults"] = LinkFaults.MeasureAsync,
    ["link-fuzz"] = LinkFuzz.MeasureAsync,
    ["link-throughput"] = LinkThroughput.MeasureAsync,
    ["live-latency"] = LiveLatency.MeasureAsync,
    ["model-speed"] = ModelSpeedFigure.MeasureAsync,
    ["night"] = NightFigure.MeasureAsync,
    ["nist-fits"] = NistFitsFigure.MeasureAsync,
    ["pairing"] = PairingFigure.MeasureAsync,
    ["groups"] = GroupsFigure.MeasureAsync,
    ["recording-rate"] = RecordingRateFigure.MeasureAsync,
    ["recovery-coverage"] = RecoveryCoverageFigure.MeasureAsync,
    ["restart"] = RestartFigure.MeasureAsync,
    ["spice-agreement"] = SpiceAgreementFigure.MeasureAsync,
    ["store-scale"] = StoreScaleFigure.MeasureAsync,
    ["transient-vs-spice"] = TransientVsSpiceFigure.MeasureAsync,
    ["tube-choice"] = TubeChoiceFigure.MeasureAsync,
    ["value-search"] = ValueSearchFigure.MeasureAsync,
    ["yield-speed"] = YieldSpeedFigure.MeasureAsync,
    ["sweep-overhead"] = SweepOverhead.MeasureAsync,
    ["three-rigs"] = ThreeRigsAlike.MeasureAsync,
};

if (args.Length == 0)
{
    foreach (var name in figures.Keys) Console.WriteLine(name);
    return 0;
}

var unknown = args.FirstOrDefault(a => a != "all" && !figures.ContainsKey(a));
if (unknown is not null)
{
    Console.Error.WriteLine($"There is no figure named '{unknown}'. Known: {string.Join(", ", figures.Keys)}, or all.");
    return 2;
}

var met = true;
foreach (var name in args.Contains("all") ? [.. figures.Keys] : args)
{
    var line = await figures[name]();
    Console.WriteLine(line);
    met &= line.Met;
}
return met ? 0 : 1;
