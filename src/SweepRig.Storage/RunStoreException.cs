using Microsoft.Data.Sqlite;

namespace SweepRig.Storage;

/// <summary>The store cannot do what was asked. The message names the file or database, what is wrong and what to do.</summary>
public sealed class RunStoreException : IOException
{
    public RunStoreException(string path, string what, string remedy, Exception? inner = null)
        : base($"{path}: {what} {remedy}", inner) => Path = path;

    /// <summary>File, directory or database that the trouble is with.</summary>
    public string Path { get; }

    /// <summary>The server of the store cannot be reached now; later it may.</summary>
    public bool IsAway { get; init; }

    // Result codes: https://www.sqlite.org/rescode.html
    private const int Busy = 5, Locked = 6, ReadOnly = 8, IoError = 10, Corrupt = 11, Full = 13, CannotOpen = 14, NotADatabase = 26;

    private RunStoreException(RunStoreException fault, string more)
        : base($"{fault.Message} {more}", fault) => (Path, IsAway) = (fault.Path, fault.IsAway);

    internal RunStoreException Adding(string sentence) => new(this, sentence);

    internal static RunStoreException From(SqliteException fault, string path)
    {
        var (what, remedy) = fault.SqliteErrorCode switch
        {
            Full => ("the disk is full; the newest samples could not be recorded, all earlier ones are kept.",
                "Free space on that disk, then start again."),
            IoError => ($"the disk refused a read or write ({fault.SqliteExtendedErrorCode}); all that was recorded before is kept.",
                "Check the disk and its free space, then start again."),
            ReadOnly => ("the file cannot be written.", "Give this user write permission to it and to its directory, or choose another data directory."),
            CannotOpen => ("the file cannot be opened.", "Give this user read and write permission to it and to its directory, or choose another data directory."),
            NotADatabase => ("this is not a run store.", "Move it away, or choose another data directory."),
            Corrupt => ("the run store is damaged.", "Copy the file away for rescue, restore it from a backup, or choose another data directory."),
            Busy or Locked => ("another process holds the run store.", "End the other process, then try again."),
            _ => ($"the run store failed: {fault.Message}", "If the disk is sound, this is a fault of SweepRig."),
        };
        return new(path, what, remedy, fault);
    }
}
