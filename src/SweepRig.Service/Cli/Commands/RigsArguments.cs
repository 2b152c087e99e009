using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Hosting;
using SweepRig.Service.Stations;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Options of a service that drives several rigs.</summary>
public sealed class RigsArguments
{
    private readonly Option<string[]> _rig = new("--rig")
    {
        Description = $"A rig of several: NAME=PORT, NAME={NamedRig.Bus}FILE or NAME={NamedRig.Simulated}; once for each rig, {RigChoices.Most} at most. The first is meant wherever none is named",
        HelpName = "NAME=RIG",
        Arity = ArgumentArity.OneOrMore,
    };

    private readonly Option<string?> _file = Bounded.Text("--rigs", "FILE", "The same from a JSON document, with more to each rig; its schema is at /api/rigs/schema", 4096, "Give the path of a list of rigs.");

    /// <param name="command">That has these options.</param>
    /// <param name="bench">What tells of one rig alone stands with neither.</param>
    public void AddTo(Command command, BenchArguments bench)
    {
        command.Add(_rig);
        command.Add(_file);
        command.Validators.Add(result =>
        {
            var given = result.GetResult(_rig) is not null ? _rig.Name : result.GetResult(_file) is not null ? _file.Name : null;
            if (given is null) return;
            if (given == _rig.Name && result.GetResult(_file) is not null) result.AddError($"{_rig.Name} stands with {_file.Name}: rigs are told on the command line or in a file. Leave one out.");
            foreach (var other in bench.OfOneRig.Where(o => result.GetResult(o) is not null))
                result.AddError($"{given} and {other.Name} exclude each other: {other.Name} tells of the only rig. Leave one out{(given == _file.Name ? "" : $", or say it of each rig in a file with {_file.Name}")}.");
        });
    }

    /// <param name="options">Of one rig; what they say of speeds and seeds holds for each.</param>
    /// <returns>The options with several rigs, or as they are when none was named; or every fault.</returns>
    public Outcome<BenchOptions> Read(ParseResult parsed, BenchOptions options)
    {
        if (parsed.GetValue(_file) is { } file) return ReadFile(file).Map(listed => options with { Rigs = listed });
        if (parsed.GetResult(_rig) is null) return Outcome<BenchOptions>.Accept(options);
        Outcome<RigChoice>[] named = [.. parsed.GetRequiredValue(_rig).Select(NamedRig.Read)];
        Refusal[] faults = [.. named.SelectMany(r => r.Refusals)];
        if (faults.Length > 0) return Outcome<BenchOptions>.Refuse(faults);
        RigChoice[] rigs = [.. named.Select((r, place) => r.Value! with { Baud = options.Baud, HeaterSpeed = options.HeaterSpeed, Seed = unchecked(options.Seed + place) & int.MaxValue })];
        return RigChoices.Faults(rigs) is { Count: > 0 } clashes ? Outcome<BenchOptions>.Refuse(clashes) : Outcome<BenchOptions>.Accept(options with { Rigs = rigs });
    }

    /// <summary>The file that was named, for <see cref="RefusalLines.Tell"/>; empty when none was.</summary>
    public string File(ParseResult parsed) => parsed.GetValue(_file) ?? "";

    private static Outcome<IReadOnlyList<RigChoice>> ReadFile(string file)
    {
        try
        {
            var beside = Path.GetDirectoryName(Path.GetFullPath(file))!;
            return RigsDocument.Parse(System.IO.File.ReadAllText(file), bus => BusFile.Read(Path.Combine(beside, bus)));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            var why = fault is FileNotFoundException or DirectoryNotFoundException ? "there is no such file" : Directory.Exists(file) ? "it is a directory" : fault.Message.TrimEnd('.');
            return Outcome<IReadOnlyList<RigChoice>>.Refuse(new Refusal("rigs-file-not-readable", "", "the list of rigs cannot be read", why, "Give the path of a list of rigs; its schema is at /api/rigs/schema."));
        }
    }
}
