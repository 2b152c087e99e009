using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Domain.Rigs.Documents;

/// <summary>Reads the reference meter under the key <c>meter</c>.</summary>
internal static class MeterReader
{
    public static ReferenceMeter? Read(ObjectReader root)
    {
        var meter = root.Object("meter", true, "name", "serialNumber", "percentOfReading", "percentOfRange", "rangeVolts", "counts", "countVolts", "ohmsPercent");
        if (meter is null) return null;
        var name = meter.Line("name", 80);
        var serial = meter.Line("serialNumber", 80);
        var reading = meter.Number("percentOfReading", 0, 5, "%");
        var range = meter.Has("percentOfRange") ? meter.Number("percentOfRange", 0, 5, "%") : 0;
        var full = meter.Number("rangeVolts", 1, 1000, "V");
        var counts = meter.Has("counts") ? meter.Number("counts", 0, 1000, "counts") : 0;
        var count = meter.Number("countVolts", 1e-7, 0.1, "V");
        var ohms = meter.Has("ohmsPercent") ? meter.Number("ohmsPercent", 0, 10, "%") : 1;
        if (name is null || serial is null || reading is null || range is null || full is null || counts is null || count is null || ohms is null) return null;
        var found = new ReferenceMeter(name, serial, reading.Value, range.Value, full.Value, counts.Value, count.Value, ohms.Value);
        if (found.GainLimit + found.ZeroLimitVolts > 0) return found;
        meter.Fault("meter-without-error", "percentOfReading", "a meter without any error", "its maker states an accuracy: percent of reading with percent of range or counts", "Take it from the meter's data sheet.");
        return null;
    }
}
