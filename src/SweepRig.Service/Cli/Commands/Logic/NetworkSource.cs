using SweepRig.Domain;
using SweepRig.Logic.Networks;
using SweepRig.Service.Logic;

namespace SweepRig.Service.Cli.Commands.Logic;

/// <summary>Reads the network that a command was given, and the tubes that it names out of the stock.</summary>
public static class NetworkSource
{
    public static async Task<Outcome<Network>> ReadAsync(CliContext context, string? data, string asked, CancellationToken cancellation)
    {
        var read = await TextAsync(context, asked, cancellation);
        if (read.Value is not { } text) return Outcome<Network>.Refuse(read.Refusals);
        var types = Service.Types.UserTypes.Read(DataPlace.Of(data, context.Variable)).Catalogue;
        using var workbench = new Fits.Workbench();
        await using var runs = await RunsCommand.OpenAsync(context, data, cancellation);
        return NetworkDocument.Parse(text, await StockShelf.LoadAsync(runs, new FittedTubes(workbench, types), text, cancellation));
    }

    /// <summary>The document itself.</summary>
    public static async Task<Outcome<string>> TextAsync(CliContext context, string asked, CancellationToken cancellation)
    {
        try
        {
            return Outcome<string>.Accept(asked == PlanSource.StandardInput ? await context.Input.ReadToEndAsync(cancellation) : await File.ReadAllTextAsync(asked, cancellation));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            var why = Directory.Exists(asked) ? "it is a directory" : fault is FileNotFoundException or DirectoryNotFoundException ? "there is no such file" : fault.Message.TrimEnd('.');
            return Outcome<string>.Refuse(new Refusal("network-not-readable", "", "the network cannot be read", why, "Give a file of the format network/1, or - for standard input."));
        }
    }
}
