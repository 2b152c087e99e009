namespace SweepRig.Rigs.Link.Messages;

/// <summary>A message of fixed length. Its fields are written and read in the order of the declaration, which decides width and range.</summary>
public interface ILinkMessage<TSelf>
    where TSelf : ILinkMessage<TSelf>
{
    static abstract MessageDeclaration Declaration { get; }

    void Write(ref FieldWriter writer);

    static abstract TSelf Read(ref FieldReader reader);
}
