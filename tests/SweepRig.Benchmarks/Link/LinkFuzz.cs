using System.Diagnostics;

namespace SweepRig.Benchmarks.Link;

/// <summary>Frame decoders of both sides under random and mutated frames: C# here, C under libFuzzer with sanitizers.</summary>
internal static class LinkFuzz
{
    private const long Inputs = 10_000_000;

    public static async Task<FigureLine> MeasureAsync()
    {
        var clock = Stopwatch.StartNew();
        // Fixed shares, so that the same seeds see the same inputs on any machine.
        var parts = await Task.WhenAll(Enumerable.Range(1, 4).Select(seed => Task.Run(() =>
        {
            var part = new DecoderFuzz(seed);
            part.Run(Inputs / 4);
            return part;
        })));
        var (damaged, accepted, refused) = (parts.Sum(p => p.Damaged), parts.Sum(p => p.Accepted), parts.Sum(p => p.Refused));
        Console.WriteLine(
            $"  C#: {Inputs} inputs in {FigureLine.Text(clock.Elapsed.TotalSeconds, "0")} s, {damaged} of them damaged, {accepted} of those accepted "
            + $"(expected {FigureLine.Text(damaged / Math.Pow(2, 32), "0.000")}); {refused} good ones refused; {parts.Sum(p => p.Faulted)} good frames that make no sense, all told as such");
        var firmware = await FirmwareFuzz.RunAsync(Inputs);
        Console.WriteLine($"  C: {firmware.Told}");
        return new(
            "link-fuzz",
            $"{accepted} damaged frames accepted and {refused} good ones refused of {Inputs} in C#; C {(firmware.Passed ? "the same and clean" : "not shown")}",
            "no crash, 0 accepted, 0 refused of 10000000 inputs in each language",
            $"a check of 32 bits lets {FigureLine.Text(damaged / Math.Pow(2, 32), "0.000")} of so many through",
            accepted == 0 && refused == 0 && firmware.Passed);
    }
}
