using System.Globalization;
using SweepRig.Domain;

namespace SweepRig.Storage;

/// <summary>
/// Held by the one process that records into a data directory. The kernel holds the lock on the open file (flock on Unix), so a killed process
/// frees it; so does the garbage collector when nobody keeps the object. The process id stands in a second file, because nobody else can read
/// the locked one.
/// </summary>
public sealed class DataDirectoryLock : IDisposable
{
    public const string FileName = "serve.lock";
    public const string OwnerFileName = "serve.lock.owner";

    private readonly FileStream _file;
    private readonly string _owner;

    private DataDirectoryLock(FileStream file, string owner)
    {
        _file = file;
        _owner = owner;
    }

    /// <returns>The lock, to be disposed at the end; or why it is not to be had.</returns>
    public static Outcome<DataDirectoryLock> TryTake(string dataDirectory)
    {
        var path = Path.Combine(dataDirectory, FileName);
        var owner = Path.Combine(dataDirectory, OwnerFileName);
        FileStream? file = null;
        try
        {
            DataDirectory.Make(dataDirectory);
            file = new FileStream(path, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
            File.WriteAllText(owner, Environment.ProcessId.ToString(CultureInfo.InvariantCulture));
            return Outcome<DataDirectoryLock>.Accept(new(file, owner));
        }
        catch (IOException) when (file is null && IsLocked(path))
        {
            return Outcome<DataDirectoryLock>.Refuse(new Refusal(
                "data-directory-in-use",
                "",
                $"{dataDirectory} is in use by process {OwnerOf(owner)}, another sweeprig",
                "one sweeprig at a time may record into a data directory",
                "Use that one, end it, or choose another directory with --data."));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            file?.Dispose();
            return Outcome<DataDirectoryLock>.Refuse(new Refusal(
                "data-directory-not-writable",
                "",
                $"To record into {dataDirectory} ({fault.Message.TrimEnd('.')})",
                "a directory that this user may write",
                "Give this user write permission, or choose another data directory."));
        }
    }

    public void Dispose()
    {
        // While the lock is still held, so that it is never the next owner's file that goes.
        File.Delete(_owner);
        _file.Dispose();
    }

    private static bool IsLocked(string path)
    {
        try
        {
            using var probe = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read);
            return false;
        }
        catch (FileNotFoundException)
        {
            return false;
        }
        catch (DirectoryNotFoundException)
        {
            return false;
        }
        catch (IOException)
        {
            return true;
        }
    }

    private static string OwnerOf(string owner)
    {
        try
        {
            return File.ReadAllText(owner).Trim() is { Length: > 0 } id ? id : "(unknown)";
        }
        catch (IOException)
        {
            return "(unknown)";
        }
    }
}
