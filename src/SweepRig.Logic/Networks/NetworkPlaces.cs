namespace SweepRig.Logic.Networks;

/// <summary>Where the parts of a network stand in its document, as JSON Pointers (RFC 6901).</summary>
internal sealed class NetworkPlaces
{
    private readonly Dictionary<Part, string> _places = new(ReferenceEqualityComparer.Instance);

    public NetworkPlaces(Network network)
    {
        foreach (var kind in network.Parts.GroupBy(ListOf))
            foreach (var (part, at) in kind.Select((part, at) => (part, at))) _places[part] = $"/{kind.Key}/{at}";
    }

    public string Of(Part part) => _places[part];

    private static string ListOf(Part part) => part switch
    {
        Source => "sources",
        Resistor => "resistors",
        Capacitor => "capacitors",
        Diode => "diodes",
        _ => "tubes",
    };
}
