using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Running;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Planning;

public sealed class SectionTests
{
    [Theory]
    [InlineData("TERN-001/3", "12AX7", "section 3 of TERN-001 is asked for; type 12AX7 has the sections 1 (triode a) and 2 (triode b). Name one of these.")]
    [InlineData("SKUA-014/2", "6AU6", "section 2 of SKUA-014 is asked for; type 6AU6 has one system. Leave /2 out, or correct the type.")]
    public void A_section_that_the_type_does_not_have_is_refused(string label, string type, string says) => Assert.Equal(says, Assert.Single(Plan(label, type).Refusals).ToString());

    [Theory]
    [InlineData("TERN-001/1", "12AX7")]
    [InlineData("TERN-001/2", "12AX7")]
    [InlineData("TERN-001", "12AX7")]
    [InlineData("TERN-001/2", "ECF80")]
    [InlineData("TERN-001/2", "unheard-of")]
    public void Any_other_is_swept(string label, string type) => Assert.Empty(Plan(label, type).Refusals);

    private static Domain.Outcome<SweepProgram> Plan(string label, string type)
    {
        var plan = Samples.Gentle with { Connection = Samples.Gentle.Connection with { Kind = ConnectionKind.Triode } };
        return SweepPlanner.Plan(
            new SweepRequest(plan, new(label, type), 0),
            new(Samples.Rig, RigCalibration.Nominal(Samples.Rig), Samples.Rig.HardLimits, null, DateTimeOffset.UnixEpoch, TimeSpan.Zero, TimeSpan.FromSeconds(40), CatalogueRatings.BuiltIn.Of(type)));
    }
}
