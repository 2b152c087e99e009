namespace SweepRig.Storage;

/// <summary>
/// What tells one bench from another in a shared store: a random name that its data directory keeps. A run carries the name of the bench that records it, so that
/// a bench which starts again closes what it left open itself and nothing of the others.
/// </summary>
internal static class BenchName
{
    public const string FileName = "bench";

    /// <summary>The name in the directory; made with the first call.</summary>
    /// <exception cref="RunStoreException">The file cannot be read or made.</exception>
    public static string Of(string dataDirectory)
    {
        var path = Path.Combine(dataDirectory, FileName);
        try
        {
            if (!File.Exists(path))
            {
                // Written aside first: another process must never read half a name.
                var made = $"{path}.{Guid.NewGuid():N}";
                File.WriteAllText(made, Guid.NewGuid().ToString("N"));
                try
                {
                    File.Move(made, path, overwrite: false);
                }
                catch (IOException) when (File.Exists(path))
                {
                    File.Delete(made);
                }
            }
            return File.ReadAllText(path).Trim() is { Length: > 0 } name
                ? name
                : throw new RunStoreException(path, "the name of this bench is gone from its file.", "Delete the file; a new name is made.");
        }
        catch (Exception fault) when (fault is IOException and not RunStoreException or UnauthorizedAccessException)
        {
            throw new RunStoreException(path, $"the name of this bench cannot be kept ({fault.Message.TrimEnd('.')}).", "Let this user read and write there, or choose another data directory.", fault);
        }
    }
}
