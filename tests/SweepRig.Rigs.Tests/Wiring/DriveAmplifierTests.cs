using System.Diagnostics;
using System.Globalization;
using SweepRig.Rigs.Tests.Support;

namespace SweepRig.Rigs.Tests.Wiring;

/// <summary>The drive amplifier and a bipolar divider of the wiring in ngspice (Debian package of that name), which solves the network itself.</summary>
[Trait("needs", "ngspice")]
public sealed class DriveAmplifierTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("sweeprig-wiring-");

    public void Dispose() => _folder.Delete(recursive: true);

    [Fact]
    public async Task Drive_and_read_back_are_what_the_formulas_say()
    {
        var parts = PartsList.Read(Repository.At("firmware-notes", "wiring", "parts.csv"));
        double V(string reference) => parts[reference].Si;
        var result = Path.Combine(_folder.FullName, "out.txt");
        // 8 mA is drawn from the node behind R4, which the loop must hold all the same. The amplifier has a gain of 1e9, so the formula is met to 1 uV.
        var netlist = string.Create(CultureInfo.InvariantCulture, $"""
            drive amplifier and read-back divider
            Vref ref 0 {V("U5")}
            Vdac dac 0 0
            R1 ref minus {V("R1")}
            R2 minus 0 {V("R2")}
            R3 node minus {V("R3")}
            R4 out node {V("R4")}
            E1 out 0 dac minus 1e9
            Iload node 0 8m
            R10 node adc {V("R10")}
            R11 ref adc {V("R11")}
            R13 adc 0 {V("R13")}
            .control
            dc Vdac 0 4 0.5
            wrdata {result} v(node) v(adc)
            quit 0
            .endc
            .end
            """);
        await File.WriteAllTextAsync(Path.Combine(_folder.FullName, "drive.cir"), netlist, TestContext.Current.CancellationToken);

        await RunAsync("drive.cir");

        var rows = await File.ReadAllLinesAsync(result, TestContext.Current.CancellationToken);
        Assert.Equal(9, rows.Length);
        for (var n = 0; n < rows.Length; n++)
        {
            var cells = rows[n].Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(c => double.Parse(c, CultureInfo.InvariantCulture)).ToArray();
            var dac = 0.5 * n;
            var drive = dac * (1 + V("R3") / V("R1") + V("R3") / V("R2")) - V("U5") * V("R3") / V("R1");
            var adc = (drive / V("R10") + V("U5") / V("R11")) / (1 / V("R10") + 1 / V("R11") + 1 / V("R13"));
            Assert.Equal(drive, cells[1], 1e-5);
            Assert.Equal(adc, cells[3], 1e-5);
        }
    }

    private async Task RunAsync(string netlist)
    {
        var start = new ProcessStartInfo("ngspice", ["-b", netlist])
        {
            WorkingDirectory = _folder.FullName,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        using var process = Process.Start(start)!;
        var said = await process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        var complaint = await process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(process.ExitCode == 0, said + complaint);
    }
}
