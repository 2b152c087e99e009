using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using SweepRig.Analysis.Tests.Spice;
using SweepRig.Domain;
using SweepRig.Domain.Tubes;
using SweepRig.Logic.Building;
using SweepRig.Logic.Export;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;
using SweepRig.Tubes.Fixture;

namespace SweepRig.Logic.Tests.Networks;

/// <summary>A tube that is taken as it was swept, on the load that it was swept with.</summary>
public sealed class MeasuredCurveTests
{
    [Theory]
    [InlineData(ConnectionKind.Pentode)]
    [InlineData(ConnectionKind.Triode)]
    public void On_its_own_load_the_plate_is_where_the_tube_itself_puts_it(ConnectionKind kind)
    {
        var connection = SweptTube.Wired(kind);
        var fixture = new FixtureSolver(connection);
        var curve = SweptTube.Curve(Samples.Tube(), connection);
        // Between the samples too, and up into grid current.
        foreach (var drive in (double[])[-13.93, -3.07, -1.51, -0.77, -0.31, 0.13, 2.9, 11.1, 23.9])
        {
            var point = new DcSolver(new CircuitValues(Circuit.Of(Stage(drive, curve)))).Solve()!;
            var there = fixture.Solve(Samples.Tube(), drive);
            // Samples are 0.2 V apart, and between two of them the plate falls by up to 3 V.
            Assert.Equal(there.Plate, point.At("out"), 20e-3);
            Assert.Equal(there.Grid, point.At("g"), 2e-3);
        }
    }

    [Fact]
    public void Slopes_are_those_of_the_currents()
    {
        var curve = SweptTube.Curve(Samples.Tube(), SweptTube.Wired());
        foreach (var grid in (double[])[-5.03, -1.234, -0.512, 0.021, 0.4])
        {
            var (plate, plateSlope, into, intoSlope) = curve.At(grid);
            const double step = 1e-6;
            Assert.Equal((curve.At(grid + step).Plate - plate) / step, plateSlope, 1e-6);
            Assert.Equal((curve.At(grid + step).Grid - into) / step, intoSlope, 1e-6);
        }
        Assert.Equal(0, curve.At(-40).PlateSlope);
    }

    [Fact]
    public void Another_load_is_refused_with_its_value_the_limit_and_the_sweep_that_would_do()
    {
        var curve = SweptTube.Curve(Samples.Tube(), SweptTube.Wired());
        Assert.Empty(NetworkChecks.Find(Stage(0, curve, plateOhms: 10_150)));
        var other = Assert.Single(NetworkChecks.Find(Stage(0, curve, plateOhms: 12_000)));
        Assert.Equal(("load-not-measured", "/tubes/0"), (other.Code, other.Path));
        Assert.Contains("12 kΩ from 28 V", other.Asked, StringComparison.Ordinal);
        Assert.Contains("10 kΩ from 28 V, and 2 % off", other.Allowed, StringComparison.Ordinal);
        Assert.Contains("a plate resistor of 12000 Ω", other.Remedy, StringComparison.Ordinal);

        // A divider behind the plate: by hand 10 kΩ beside 220 kΩ, and (28 V 220 kΩ - 14 V 10 kΩ)/230 kΩ.
        var divided = new Network("divided", [.. Stage(0, curve).Parts, Samples.Bias(), new Resistor("Ra", "out", "m", 100_000), new Resistor("Rb", "m", "C", 120_000)]);
        var (ohms, volts) = (10e3 * 220e3 / 230e3, (28 * 220.0 - 14 * 10) / 230);
        Assert.Equal((ohms, volts), (PlateLoad.Of(divided, "out").Ohms, PlateLoad.Of(divided, "out").Volts), (a, b) => Math.Abs(a.Item1 - b.Item1) < 0.01 && Math.Abs(a.Item2 - b.Item2) < 1e-4);
        Assert.Equal("load-not-measured", Assert.Single(NetworkChecks.Find(divided)).Code);
        // Swept with that load it is taken, and is where the tube itself would be.
        var swept = SweptTube.Wired(rail: volts, plateOhms: ohms);
        var fits = divided.With(divided.Tubes.Single() with { Curve = SweptTube.Curve(Samples.Tube(), swept) });
        Assert.Equal(new FixtureSolver(swept).Solve(Samples.Tube(), 0).Plate, new DcSolver(new CircuitValues(Circuit.Of(fits))).Solve()!.At("out"), 5e-3);
    }

    [Fact]
    public void A_cathode_that_is_not_at_ground_is_refused()
    {
        var network = Stage(0, SweptTube.Curve(Samples.Tube(), SweptTube.Wired()));
        var raised = new Network("raised", [.. network.With(network.Tubes.Single() with { Cathode = "k", Screen = "k" }).Parts, new Resistor("Rk", "k", "0", 100)]);
        Assert.Equal("cathode-not-measured", Assert.Single(NetworkChecks.Find(raised)).Code);
    }

    [Fact]
    public void What_the_run_did_not_show_is_told()
    {
        var whole = SweptTube.Curve(Samples.Tube(), SweptTube.Wired(), to: 0);
        Assert.Null(whole.Outside(-30));
        Assert.Null(whole.Outside(-0.5));
        Assert.Contains("went up to", whole.Outside(0.6), StringComparison.Ordinal);
        Assert.Contains("not cut off", SweptTube.Curve(Samples.Tube(), SweptTube.Wired(), from: -0.5).Outside(-2), StringComparison.Ordinal);
        var thin = MeasuredCurve.Of("r1", SweptTube.Wired(), SweptTube.Pass(Samples.Tube(), SweptTube.Wired(), -14, 0, 5));
        Assert.Equal("curve-too-thin", Assert.Single(thin.Refusals).Code);
    }

    [Theory]
    [InlineData(-0.77)]
    [InlineData(-0.31)]
    [InlineData(4)]
    public async Task Its_netlist_gives_the_same_voltages_in_ngspice(double drive)
    {
        var network = Stage(drive, SweptTube.Curve(Samples.Tube(), SweptTube.Wired()));
        var point = new DcSolver(new CircuitValues(Circuit.Of(network))).Solve()!;
        var answer = await Ngspice.RunAsync(NetlistWriter.Write(network), "op", ["v(out)", "v(g)"], TestContext.Current.CancellationToken);
        Assert.Equal(point.At("out"), answer.Rows[0][1], 1e-3);
        Assert.Equal(point.At("g"), answer.Rows[0][2], 1e-3);
    }

    [Fact]
    public void It_is_asked_for_in_a_document_and_kept_in_it()
    {
        const string text = """{"format":"network/1","name":"n","sources":[{"name":"E","plus":"B","volts":28},{"name":"in","plus":"in","volts":-1}],"resistors":[{"name":"Rp","from":"B","to":"p","ohms":10000},{"name":"Rg","from":"in","to":"g","ohms":4700}],"tubes":[{"name":"V1","connection":"pentode","plate":"p","grid":"g","number":"SKUA-014","measured":true}]}""";
        var read = NetworkDocument.Parse(text, new Shelf()).Value!;
        Assert.Equal("r1", read.Tubes.Single().Curve!.RunId);
        var written = NetworkWriter.Write(read);
        Assert.Equal("r1", NetworkDocument.Parse(written, new Shelf()).Value!.Tubes.Single().Curve!.RunId);
        Assert.True(JsonSchema.FromText(NetworkDocument.Schema).Evaluate(JsonDocument.Parse(written).RootElement).IsValid);
        Assert.Equal("measured-in-build", Assert.Single(BuildPlan.Of(read, TestContext.Current.CancellationToken).Refusals).Code);

        Assert.Equal("no-curve", Assert.Single(Refused(text, t => t["connection"] = "triode")).Code);
        Assert.Equal("/tubes/0/screen", Assert.Single(Refused(text, t => t["screen"] = "B")).Path);
        Assert.Contains(Refused(text.Replace("\"number\":\"SKUA-014\",", "", StringComparison.Ordinal), t => t["constants"] = JsonNode.Parse("{}")), r => r.Code != "no-curve");
    }

    private static IReadOnlyList<Refusal> Refused(string text, Action<JsonObject> change)
    {
        var document = JsonNode.Parse(text)!;
        change(document["tubes"]![0]!.AsObject());
        return NetworkDocument.Parse(document.ToJsonString(), new Shelf()).Refusals;
    }

    private static Network Stage(double drive, MeasuredCurve curve, double plateOhms = 10_000) => new("stage",
    [
        Samples.Rail(), new Source("in", "in", Network.Ground, Waveform.Steady(drive)), new Resistor("Rp", "B", "out", plateOhms), new Resistor("Rg", "in", "g", 4_700),
        new TubePart("V1", "out", curve.Connection.Kind == ConnectionKind.Triode ? "out" : Network.Ground, "g", Network.Ground, Samples.Tube()) { Curve = curve },
    ]);

    private sealed class Shelf : ITubeShelf
    {
        public Outcome<ShelfTube> Find(string number) => Outcome<ShelfTube>.Accept(new(number, "6AU6", Samples.Tube().Parameters, 6.3));

        public Outcome<MeasuredCurve> Curve(string number, ConnectionKind connection) => connection == ConnectionKind.Pentode
            ? Outcome<MeasuredCurve>.Accept(SweptTube.Curve(Samples.Tube(), SweptTube.Wired()))
            : Outcome<MeasuredCurve>.Refuse(new Refusal("no-curve", "", "no run", "one is needed", "Sweep it."));
    }
}
