namespace SweepRig.Storage;

/// <summary>The directory that holds everything SweepRig keeps.</summary>
public static class DataDirectory
{
    /// <summary>Makes the directory if need be.</summary>
    /// <exception cref="RunStoreException">It cannot be made.</exception>
    public static void Make(string path)
    {
        try
        {
            Directory.CreateDirectory(path);
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw new RunStoreException(
                path, $"the data directory cannot be made ({fault.Message.TrimEnd('.')}).", "Choose a directory that this user may write.", fault);
        }
    }
}
