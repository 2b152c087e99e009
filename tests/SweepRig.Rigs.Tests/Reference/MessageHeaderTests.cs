namespace SweepRig.Rigs.Tests.Reference;

/// <summary>The reference firmware is compiled from the same declarations as the host.</summary>
public class MessageHeaderTests
{
    private const string RewriteSwitch = "SWEEPRIG_WRITE_MESSAGES";

    [Fact]
    public void The_committed_header_is_made_from_the_declarations()
    {
        var committed = ReferenceFirmware.At("core", "messages.h");
        var made = MessageHeader.Write();
        if (Environment.GetEnvironmentVariable(RewriteSwitch) == "1") File.WriteAllText(committed, made);
        Assert.True(File.Exists(committed) && File.ReadAllText(committed) == made,
            $"{committed} is not what LinkMessages says. Write it anew with: {RewriteSwitch}=1 dotnet test tests/SweepRig.Rigs.Tests --filter MessageHeaderTests");
    }
}
