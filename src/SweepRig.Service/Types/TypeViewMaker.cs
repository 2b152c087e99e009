using SweepRig.Service.Contract;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Types;

/// <summary>Types as REST and the command line show them. Pure.</summary>
public static class TypeViewMaker
{
    public static TypeListView List(CatalogueReading reading) => new([.. reading.Catalogue.All.Select(Summary)], [.. reading.Faults.Select(Fault)]);

    public static TypeSummaryView Summary(TubeType type) => new(
        type.Name, type.Aliases, TypeWords.Kinds.Word(type.Kind), type.Basing.Name, [.. type.Heaters.Select(h => new TypeHeaterView(h.Voltage.Value, h.Current.Value))],
        type.NotSweptBecause is null, type.Caution is not null, type.File, type.Replaces);

    public static TypeDetailView Detail(TubeType type) => new(
        Summary(type), type.IsDirectlyHeated,
        new(type.Basing.Name, type.Basing.Code, type.Basing.Pins, TypeWords.Confidences.Word(type.Basing.Confidence)),
        [.. TubeSection.Of(type).Select(s => new TypeSectionView(s.Number, s.Name, [.. s.Pins.Select(p => FormattableString.Invariant($"{p.Electrode} {p.Pin}"))]))],
        [.. type.Ratings.Select(r => new RatingView(TypeWords.Limits.Word(r.Kind), r.Shown, r.Unit, TypeWords.Systems.Word(r.System), TypeWords.Confidences.Word(r.Confidence)))],
        [.. Limits(type)],
        [.. type.TypicalPoints.Select(p => new TypicalPointView(
            p.PlateVolts, p.ScreenVolts, p.GridVolts, p.CathodeOhms, p.PlateMilliamperes, p.ScreenMilliamperes, p.MilliampsPerVolt, p.PlateKilohms, p.Mu,
            TypeWords.Confidences.Word(p.Confidence)))],
        type.Note, type.Caution, type.NotSweptBecause, type.Sources);

    private static IEnumerable<TypeLimitView> Limits(TubeType type) =>
        Sweeps.Planning.CatalogueRatings.For(type).Limits.Select(l => new TypeLimitView(l.Word, l.Most.Value, l.Because));

    private static TypeFaultView Fault(TypeFault fault) => new(fault.File, new(fault.Refusal.Code, fault.Refusal.Path, fault.Refusal.Asked, fault.Refusal.Allowed, fault.Refusal.Remedy));
}
