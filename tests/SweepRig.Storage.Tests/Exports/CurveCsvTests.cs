using System.Globalization;
using Microsoft.VisualBasic.FileIO;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Storage.Exports;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests.Exports;

public class CurveCsvTests
{
    private static readonly double[] Drive = [-14, double.NaN, 1.0 / 3];
    private static readonly double[] Plate = [28.000000000000004, double.NaN, 5.1e-7];

    private static Curve Curve(PassHeader pass) => new()
    {
        Pass = pass,
        Drive = Drive,
        Plate = Plate,
        Grid = [-14, double.NaN, 0.1],
        Screen = [28, double.NaN, 27.5],
        Supply = [28, double.NaN, 28],
        GridCurrent = [0, double.NaN, 1e-5],
        ScreenCurrent = [double.NaN, double.NaN, double.NaN],
        PlateCurrent = [0, double.NaN, 0.0028],
        PlateUncertainty = [0.2, double.NaN, 0.05],
        DriveUncertainty = [0.01, double.NaN, 0.011],
        GridUncertainty = [0.012, double.NaN, 0.013],
        ScreenUncertainty = [0.014, double.NaN, 0.015],
        SupplyUncertainty = [0.016, double.NaN, 0.017],
        PlateCurrentUncertainty = [1e-6, double.NaN, 2e-6],
        GridCurrentUncertainty = [3e-9, double.NaN, 4e-9],
        Flags = [SampleFlags.Settled, SampleFlags.None, SampleFlags.Clipped | SampleFlags.Repeated],
        SampledAtTicks = [1234, 0, 5678],
    };

    private static async Task<string> WriteAsync(string label = "SKUA-014")
    {
        var run = new RunRecord(Examples.Header("0195a0d000007000800000000000000a") with { Tube = new Tube(label, "6AU6", "Skua") },
            RunState.Complete, Examples.Started.AddSeconds(1), 2, [], []);
        var text = new StringWriter(CultureInfo.InvariantCulture);
        await CurveCsv.WriteAsync(run, [Curve(new(0, PassDirection.Up, 3, 0, null)), Curve(new(1, PassDirection.Down, 3, 0, 20.5))], text);
        return text.ToString();
    }

    [Fact]
    public async Task The_table_is_as_documented_to_the_character()
    {
        const string origin = "0195a0d000007000800000000000000a,2026-03-14T09:26:53.589Z,SKUA-014,6AU6,Skua,pentode,nominal,nominal,";
        string[] expected =
        [
            "run,started (UTC),tube,type,lot,connection,calibration,calibration state,pass,direction,repeat,second source (V),point,"
                + "drive (V),plate (V),plate uncertainty (V),grid (V),screen (V),supply (V),"
                + "plate current (A),screen current (A),grid current (A),rig time (us),settled,clipped,measured again,"
                + "drive uncertainty (V),grid uncertainty (V),screen uncertainty (V),supply uncertainty (V),"
                + "plate current uncertainty (A),screen current uncertainty (A),grid current uncertainty (A)",
            origin + "0,up,0,,0,-14,28.000000000000004,0.2,-14,28,28,0,,0,1234,1,0,0,0.01,0.012,0.014,0.016,1E-06,,3E-09",
            origin + "0,up,0,,1,,,,,,,,,,,,,,,,,,,,",
            origin + "0,up,0,,2,0.3333333333333333,5.1E-07,0.05,0.1,27.5,28,0.0028,,1E-05,5678,0,1,1,0.011,0.013,0.015,0.017,2E-06,,4E-09",
            origin + "1,down,0,20.5,0,-14,28.000000000000004,0.2,-14,28,28,0,,0,1234,1,0,0,0.01,0.012,0.014,0.016,1E-06,,3E-09",
            origin + "1,down,0,20.5,1,,,,,,,,,,,,,,,,,,,,",
            origin + "1,down,0,20.5,2,0.3333333333333333,5.1E-07,0.05,0.1,27.5,28,0.0028,,1E-05,5678,0,1,1,0.011,0.013,0.015,0.017,2E-06,,4E-09",
            "",
        ];
        Assert.Equal(string.Join("\r\n", expected), await WriteAsync());
    }

    [Theory]
    [InlineData("SKUA-014")]
    [InlineData("two, \"quoted\"")]
    [InlineData("two\r\nlines")]
    public async Task Another_reader_gets_every_value_back(string label)
    {
        // TextFieldParser of the .NET class library: an independent reader of the format of RFC 4180.
        using var parser = new TextFieldParser(new StringReader(await WriteAsync(label))) { TrimWhiteSpace = false, HasFieldsEnclosedInQuotes = true };
        parser.SetDelimiters(",");
        var header = parser.ReadFields();
        Assert.NotNull(header);
        for (var row = 0; row < 6; row++)
        {
            var fields = parser.ReadFields();
            Assert.NotNull(fields);
            Assert.Equal(header.Length, fields.Length);
            Assert.Equal(label, fields[Array.IndexOf(header, "tube")]);
            Assert.Equal(Drive[row % 3], Number(fields[Array.IndexOf(header, "drive (V)")]));
            Assert.Equal(Plate[row % 3], Number(fields[Array.IndexOf(header, "plate (V)")]));
        }
        Assert.True(parser.EndOfData);
    }

    private static double Number(string field) => field.Length == 0 ? double.NaN : double.Parse(field, CultureInfo.InvariantCulture);
}
