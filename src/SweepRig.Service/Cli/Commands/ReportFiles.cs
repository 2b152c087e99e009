using System.CommandLine;
using SweepRig.Service.Live;
using SweepRig.Service.Reports;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Where a command writes a report to: the same options for a run, a tube and a lot.</summary>
public sealed class ReportFiles
{
    private const string Html = ".html", Pdf = ".pdf";

    private readonly Option<string[]> _to = new("--to")
    {
        Description = "File to write; its ending says what it is: .pdf for the printer, or .html, which needs no other file. May be given twice",
        HelpName = "FILE",
        Arity = ArgumentArity.OneOrMore,
    };

    private readonly Option<Paper?> _paper = PaperOption();

    /// <summary>Which sheet a PDF is made for.</summary>
    public static Option<Paper?> PaperOption() => new("--paper")
    {
        Description = "Sheet of the PDF: a4 or letter (default: a4)",
        HelpName = "NAME",
        CustomParser = result =>
        {
            var text = result.Tokens[^1].Value;
            if (Paper.Find(text) is { } paper) return paper;
            result.AddError($"--paper {text}: allowed are {string.Join(" and ", Paper.All.Select(p => p.Name))}. Give one of these.");
            return null;
        },
    };

    public void AddTo(Command command)
    {
        command.Add(_to);
        command.Add(_paper);
        command.Validators.Add(result =>
        {
            var files = result.GetValue(_to) ?? [];
            if (files.Length == 0) result.AddError("Nothing to write was named. Give --to FILE.pdf, --to FILE.html or both.");
            foreach (var file in files.Where(f => !Ends(f, Html) && !Ends(f, Pdf))) result.AddError($"--to {file}: allowed is a file that ends in {Pdf} or {Html}. Give it one of these endings.");
        });
    }

    /// <summary>Writes all files that were named; each is there whole or not at all.</summary>
    /// <returns>Their names.</returns>
    /// <exception cref="IOException">One cannot be written.</exception>
    public async Task<string[]> WriteAsync(ParseResult parsed, Report report)
    {
        var files = parsed.GetValue(_to)!;
        foreach (var file in files)
        {
            if (Ends(file, Html))
            {
                var text = HtmlReport.Write(report);
                await RecordedRun.WriteFileAsync(file, async (TextWriter writer) => await writer.WriteAsync(text));
            }
            else
            {
                var bytes = PdfReport.Write(report, parsed.GetValue(_paper) ?? Paper.A4);
                await RecordedRun.WriteFileAsync(file, async (Stream stream) => await stream.WriteAsync(bytes));
            }
        }
        return files;
    }

    private static bool Ends(string file, string ending) => file.EndsWith(ending, StringComparison.OrdinalIgnoreCase);
}

/// <summary>What was written, for a program.</summary>
/// <param name="Of">Id of the run, number of the tube or name of the lot.</param>
/// <param name="Files">As they were named.</param>
public sealed record WrittenReport(string Of, string[] Files);
