using GrainVision.Records.Schema;

namespace GrainVision.Records.Opening;

/// <summary>The one way to open the records.</summary>
public static class RecordsOpener
{
    /// <summary>Opens the file, makes it where missing, and brings an older schema up to date.</summary>
    /// <exception cref="InvalidDataException">The file was written by a newer version of the program.</exception>
    public static RecordsDatabase Open(string file) => RecordsDatabase.Open(file, OlderRecords.Enter, Inventory.Enter);
}
