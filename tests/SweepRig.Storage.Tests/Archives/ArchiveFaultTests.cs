using System.IO.Compression;
using System.Text;
using System.Text.Json.Nodes;
using SweepRig.Storage.Archives;

namespace SweepRig.Storage.Tests.Archives;

/// <summary>Archives that were cut, edited or made to harm are refused whole, with words.</summary>
public sealed class ArchiveFaultTests
{
    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    [Fact]
    public async Task One_that_was_cut_short_anywhere_is_refused_and_leaves_nothing()
    {
        await using var one = await ArchiveBench.FilledAsync();
        await using var other = await ArchiveBench.EmptyAsync();
        var archive = await one.ArchiveAsync();
        foreach (var length in Enumerable.Range(0, 20).Select(i => i * (archive.Length - 1) / 19))
        {
            var refused = Assert.Single((await other.TakeInAsync(archive[..length])).Refusals);
            Assert.Equal("archive-unreadable", refused.Code);
            Assert.Contains($"this file of {length} bytes", refused.Asked, StringComparison.Ordinal);
        }
        Assert.Empty(await other.Runs.ListAsync(1, null, Cancel));
    }

    [Fact]
    public async Task A_byte_that_changed_in_any_part_is_found()
    {
        await using var one = await ArchiveBench.FilledAsync();
        await using var other = await ArchiveBench.EmptyAsync();
        var archive = await one.ArchiveAsync();
        var random = new Random(1);
        for (var i = 0; i < 60; i++)
        {
            var bad = (byte[])archive.Clone();
            var at = random.Next(bad.Length);
            bad[at] ^= (byte)(1 << random.Next(8));
            var outcome = await other.TakeInAsync(bad);
            // Some bytes say nothing of the content, as the times in the headers of entries; then all of it is as it was.
            if (outcome.IsAccepted)
            {
                Assert.Equal(await one.AllAsync(), await other.AllAsync());
                continue;
            }
            Assert.StartsWith("archive-", outcome.Refusals[0].Code, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("5.1 mA", "0.1 mA", "archive-edited")]
    [InlineData("\"tripped\"", "\"stopped\"", "archive-edited")]
    public async Task One_that_was_edited_is_found_by_its_hash(string text, string instead, string code)
    {
        await using var one = await ArchiveBench.FilledAsync();
        await using var other = await ArchiveBench.EmptyAsync();
        var bad = Rebuilt(await one.ArchiveAsync(), (name, content) => name.StartsWith("runs/", StringComparison.Ordinal) ? content.Replace(text, instead, StringComparison.Ordinal) : content);
        Assert.Equal(code, Assert.Single((await other.TakeInAsync(bad)).Refusals).Code);
        Assert.Empty(await other.Runs.ListAsync(1, null, Cancel));
    }

    [Fact]
    public async Task A_newer_format_and_parts_that_are_missing_or_too_many_are_told_apart()
    {
        await using var one = await ArchiveBench.FilledAsync();
        await using var other = await ArchiveBench.EmptyAsync();
        var archive = await one.ArchiveAsync();
        var newer = Rebuilt(archive, (name, content) => name == ArchiveManifest.FileName ? content.Replace("sweeprig-archive/1", "sweeprig-archive/2", StringComparison.Ordinal) : content);
        Assert.Equal(("archive-newer", "Use a newer SweepRig."), await FaultAsync(other, newer));
        Assert.Equal("archive-part-missing", (await FaultAsync(other, Rebuilt(archive, (name, content) => name == "stock.json" ? null : content))).Code);
        Assert.Equal("archive-without-manifest", (await FaultAsync(other, Rebuilt(archive, (name, content) => name == ArchiveManifest.FileName ? null : content))).Code);
        Assert.Equal("archive-strange-part", (await FaultAsync(other, Rebuilt(archive, (_, content) => content, ("types/9999.json", "{}")))).Code);
        Assert.Equal("archive-unreadable", (await FaultAsync(other, "a letter to the editor"u8.ToArray())).Code);
    }

    [Theory]
    [InlineData("../runs.db")]
    [InlineData("/etc/passwd")]
    [InlineData("runs/../../x.json")]
    [InlineData("runs\\x.json")]
    [InlineData("C:\\x.json")]
    [InlineData("runs/")]
    public async Task A_part_with_a_path_of_its_own_is_refused(string name)
    {
        await using var one = await ArchiveBench.FilledAsync();
        await using var other = await ArchiveBench.EmptyAsync();
        var (code, remedy) = await FaultAsync(other, Rebuilt(await one.ArchiveAsync(), (_, content) => content, (name, "x")));
        Assert.Equal("archive-strange-part", code);
        Assert.StartsWith("Do not trust this file", remedy, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_part_that_swells_is_not_unpacked()
    {
        await using var one = await ArchiveBench.FilledAsync();
        await using var other = await ArchiveBench.EmptyAsync();
        // 32 MB of spaces pack a thousandfold.
        var bomb = Rebuilt(await one.ArchiveAsync(), (_, content) => content, ("types/0002.json", new string(' ', 32 << 20)));
        Assert.Equal("archive-bomb", (await FaultAsync(other, bomb)).Code);
    }

    [Fact]
    public async Task A_part_that_lies_about_its_length_is_not_read_to_its_end()
    {
        await using var one = await ArchiveBench.FilledAsync();
        await using var other = await ArchiveBench.EmptyAsync();
        var archive = await one.ArchiveAsync();
        // The length before packing of the first entry, as the table of contents has it: APPNOTE.TXT 6.3.10 (PKWARE), 4.3.12, 24 bytes behind its signature.
        var table = archive.AsSpan().IndexOf("PK\u0001\u0002"u8);
        archive[table + 24] = 5;
        archive[table + 25] = 0;
        Assert.StartsWith("archive-", (await FaultAsync(other, archive)).Code, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Samples_that_are_none_are_told_with_their_line()
    {
        await using var one = await ArchiveBench.FilledAsync();
        await using var other = await ArchiveBench.EmptyAsync();
        var part = $"runs/{ArchiveBench.Id(2)}.codes.csv";
        foreach (var (spoil, says) in new (Func<string[], string[]>, string)[]
        {
            (lines => [.. lines[..2], lines[2] + ",7", .. lines[3..]], "line 3: 15 fields stand there, 14 belong there"),
            (lines => [.. lines[..2], "-" + lines[2], .. lines[3..]], "\"-0\" is no whole number"),
            (lines => [.. lines[..2], new string('1', 500)], "line 3: it is longer than 200 characters"),
            (lines => [.. lines[..2], "3" + lines[2][1..], .. lines[3..]], "block 3 follows block 0"),
            (lines => [.. lines[..^1]], "6 samples, the run says 7"),
            (lines => [.. lines[1..]], "the column names are not those of this format"),
        })
        {
            var bad = Resealed(await one.ArchiveAsync(), part, text => string.Join("\r\n", spoil(text.TrimEnd().Split("\r\n"))) + "\r\n");
            var refused = Assert.Single((await other.TakeInAsync(bad)).Refusals);
            Assert.Equal("archive-part-damaged", refused.Code);
            Assert.Contains(says, refused.Asked, StringComparison.Ordinal);
        }
        Assert.Empty(await other.Runs.ListAsync(1, null, Cancel));
    }

    private static async Task<(string Code, string Remedy)> FaultAsync(ArchiveBench bench, byte[] archive)
    {
        var refused = Assert.Single((await bench.TakeInAsync(archive)).Refusals);
        Assert.Empty(await bench.Runs.ListAsync(1, null, Cancel));
        return (refused.Code, refused.Remedy);
    }

    /// <summary>The archive with parts changed, left out (null) or added; its manifest stays as it was unless it is changed too.</summary>
    private static byte[] Rebuilt(byte[] archive, Func<string, string, string?> change, params (string Name, string Content)[] more)
    {
        using var source = new ZipArchive(new MemoryStream(archive), ZipArchiveMode.Read);
        using var file = new MemoryStream();
        using (var target = new ZipArchive(file, ZipArchiveMode.Create, leaveOpen: true))
        {
            foreach (var (name, content) in source.Entries.Select(e => (e.FullName, change(e.FullName, ArchiveBench.Text(e)))).Concat(more.Select(m => (m.Name, (string?)m.Content))))
            {
                if (content is null) continue;
                using var part = target.CreateEntry(name).Open();
                part.Write(Encoding.UTF8.GetBytes(content));
            }
        }
        return file.ToArray();
    }

    /// <summary>Edited by someone who knows how to mend the manifest.</summary>
    private static byte[] Resealed(byte[] archive, string part, Func<string, string> edit)
    {
        var bytes = Array.Empty<byte>();
        var edited = Rebuilt(archive, (name, content) =>
        {
            if (name != part) return content;
            bytes = Encoding.UTF8.GetBytes(edit(content));
            return edit(content);
        });
        return Rebuilt(edited, (name, content) =>
        {
            if (name != ArchiveManifest.FileName) return content;
            var manifest = JsonNode.Parse(content)!;
            var entry = manifest["parts"]!.AsArray().Single(p => (string?)p!["name"] == part)!;
            entry["bytes"] = bytes.Length;
            entry["sha256"] = Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(bytes));
            return manifest.ToJsonString();
        });
    }
}
