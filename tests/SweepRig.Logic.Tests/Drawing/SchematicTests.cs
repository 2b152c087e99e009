using System.Xml.Linq;
using SweepRig.Logic.Drawing;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Tests.Support;

namespace SweepRig.Logic.Tests.Drawing;

public sealed class SchematicTests
{
    private static readonly GateRails Rails = new(28, -14, 6.3);

    public static TheoryData<string, bool, bool, string> Drawings()
    {
        var data = new TheoryData<string, bool, bool, string>();
        foreach (var (word, _, _) in CircuitExamples.All)
            foreach (var (triode, screens, type) in ((bool, bool, string)[])[(false, false, "6AU6"), (true, false, "EF91"), (true, false, "6J6"), (false, true, "6AK5")]) data.Add(word, triode, screens, type);
        return data;
    }

    [Theory]
    [MemberData(nameof(Drawings))]
    public void What_the_drawing_joins_is_what_the_network_joins(string word, bool triode, bool screens, string type)
    {
        var (drawing, network) = Draw(word, triode, screens, type);
        Check(drawing, network);
    }

    [Fact]
    public void A_network_of_ones_own_is_drawn_part_by_part()
    {
        var network = new Network("own", [.. Samples.Bistable().Parts, new Diode("D1", "q", "0"), new Diode("D2", "0", "p"), new Capacitor("C1", "q", "p", 47e-12), new Source("pulse", "t", "0", Waveform.Through([(0, 0), (1e-6, 5)])), new Resistor("Rt", "t", "q", 220_000)]);
        Check(PlainSchematic.Of(network), network);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(6)]
    public void Rows_of_any_length_are_joined_by_names(int tubesARow)
    {
        var gates = GateExamples.FullAdder(Rails, new() { SpeedUpFarads = 47e-12 });
        Check(GateSchematic.Of(gates, Tube("6AU6"), tubesARow: tubesARow), Wired(gates, "6AU6"));
    }

    [Fact]
    public void The_same_network_gives_the_same_bytes_and_they_are_xml_that_describes_itself()
    {
        var gates = GateExamples.HalfAdder(Rails, new());
        var svg = SvgWriter.Write(GateSchematic.Of(gates, Tube("6AU6")));
        Assert.Equal(svg, SvgWriter.Write(GateSchematic.Of(gates, Tube("6AU6"))));
        var root = XElement.Parse(svg);
        XNamespace ns = "http://www.w3.org/2000/svg";
        Assert.Equal(ns + "svg", root.Name);
        Assert.Equal("img", root.Attribute("role")!.Value);
        Assert.Equal("Schematic of half-adder", root.Element(ns + "title")!.Value);
        Assert.Contains("carry is made from na and nb by 2 tubes", root.Element(ns + "desc")!.Value, StringComparison.Ordinal);
        // Inherits ink and size from where it stands.
        Assert.Null(root.Attribute("width"));
        Assert.Equal("currentColor", root.Attribute("stroke")!.Value);
        Assert.DoesNotContain("black", svg, StringComparison.OrdinalIgnoreCase);
        Assert.Equal(Wired(gates, "6AU6").Parts.Select(p => p.Name).Order(), root.Descendants().Select(e => e.Attribute("data-part")?.Value).OfType<string>().Order());
    }

    [Fact]
    public void Numbers_types_and_values_stand_beside_their_parts()
    {
        var gates = GateExamples.Inverter(Rails, new() { PlateOhms = 12_000, SpeedUpFarads = 47e-12 });
        var words = GateSchematic.Of(gates, p => Tube("EF91")(p) with { Number = "SKUA-014" }).Labels.Select(l => l.Text).ToList();
        foreach (var word in (string[])["SKUA-014", "EF91", "V_y_1", "12 kΩ", "100 kΩ", "120 kΩ", "4.7 kΩ", "100 Ω", "47 pF", "+28 V", "−14 V", "a", "y"]) Assert.Contains(word, words);
    }

    [Fact]
    public void Names_cannot_break_the_file()
    {
        var network = new Network("a < b & \"c\"", Samples.InverterOf(0).Parts);
        Assert.Equal("Schematic of a < b & \"c\"", XElement.Parse(SvgWriter.Write(PlainSchematic.Of(network))).Attribute("aria-label")!.Value);
    }

    [Fact]
    public void Sheets_part_the_rows_and_draw_every_part_once()
    {
        var gates = GateExamples.FullAdder(Rails, new());
        var sheets = GateSchematic.Sheets(gates, Tube("6AU6"), null, 2, 2);
        Assert.Equal(5, sheets.Count);
        Assert.Equal("Schematic of full-adder, sheet 5 of 5", sheets[^1].Title);
        Assert.Equal(Wired(gates, "6AU6").Parts.Select(p => p.Name).Order(), sheets.SelectMany(s => s.Parts).Select(p => p.Name).Order());
        foreach (var sheet in sheets) NoWordsOverlap(sheet);
    }

    private static void Check(Schematic drawing, Network network)
    {
        Assert.Equal(network.Parts.Select(p => p.Name).Order(), drawing.Parts.Select(p => p.Name).Order());
        var nets = new DrawnNets(drawing);
        var pins = nets.Pins.ToList();
        foreach (var (part, pin) in pins) Assert.Contains(pin.Node, network.Parts.Single(p => p.Name == part.Name).Nodes);
        // Rails and inputs show one terminal; the other is ground.
        foreach (var part in network.Parts.Where(p => p is not Source)) Assert.Empty(part.Nodes.Distinct().Except(drawing.Parts.Single(p => p.Name == part.Name).Pins.Select(p => p.Node)));
        for (var a = 0; a < pins.Count; a++)
            for (var b = a + 1; b < pins.Count; b++)
                Assert.True(pins[a].Pin.Node == pins[b].Pin.Node == nets.Joined(pins[a].Pin, pins[b].Pin), $"{pins[a].Part.Name} at {pins[a].Pin.Node} and {pins[b].Part.Name} at {pins[b].Pin.Node}");
        EveryWireEndsSomewhere(drawing);
        NoWordsOverlap(drawing);
    }

    private static void EveryWireEndsSomewhere(Schematic drawing)
    {
        foreach (var wire in drawing.Wires)
        {
            Assert.True(wire.From.X == wire.To.X || wire.From.Y == wire.To.Y, "wires are level or upright");
            foreach (var end in (Place[])[wire.From, wire.To])
            {
                var held = drawing.Parts.Any(p => p.Pins.Any(pin => pin.At == end)) || drawing.Flags.Any(f => f.At == end) || drawing.Dots.Contains(end)
                    || drawing.Wires.Count(w => w.From == end || w.To == end) > 1;
                Assert.True(held, $"the wire to {end.X}, {end.Y} ends in the air");
            }
        }
    }

    private static void NoWordsOverlap(Schematic drawing)
    {
        var boxes = drawing.Labels.Select(l => (l.Text, l.Bounds)).ToList();
        for (var a = 0; a < boxes.Count; a++)
        {
            var (text, one) = boxes[a];
            Assert.True(one.Left >= 0 && one.Top >= 0 && one.Right <= drawing.Width && one.Bottom <= drawing.Height, $"{text} leaves the sheet");
            for (var b = a + 1; b < boxes.Count; b++)
                Assert.False(Meet(one, boxes[b].Bounds), $"{text} and {boxes[b].Text} overlap");
            foreach (var wire in drawing.Wires)
                Assert.False(Meet(one, (Math.Min(wire.From.X, wire.To.X), Math.Min(wire.From.Y, wire.To.Y), Math.Max(wire.From.X, wire.To.X), Math.Max(wire.From.Y, wire.To.Y))), $"{text} stands on a wire");
        }
    }

    private static bool Meet((double Left, double Top, double Right, double Bottom) a, (double Left, double Top, double Right, double Bottom) b) =>
        a.Left < b.Right && b.Left < a.Right && a.Top < b.Bottom && b.Top < a.Bottom;

    private static (Schematic Drawing, Network Network) Draw(string word, bool triode, bool screens, string type)
    {
        var gates = CircuitExamples.All.Single(e => e.Word == word).Make(Rails with { Screen = screens ? 24 : null }, new() { IsTriode = triode, SpeedUpFarads = screens ? 22e-12 : 0 });
        return (GateSchematic.Of(gates, Tube(type)), Wired(gates, type));
    }

    private static Network Wired(GateNetwork gates, string type) => GateWiring.Wire(gates, Tube(type), [.. gates.Inputs.Select(_ => Waveform.Steady(0))]);

    private static Func<string, TubePart> Tube(string type) => position => new(position, "p", "s", "g", "0", Samples.Tube()) { TypeName = type, Number = "SKUA-" + position.Length.ToString("000", System.Globalization.CultureInfo.InvariantCulture) + "/2" };
}
