namespace GrainVision.Records.Log;

/// <summary>Reasons that the program itself gives for an entry: what reads the log knows these entries by them.</summary>
public static class EntryReasons
{
    /// <summary>A rule book that comes with the program: its limits are on record before they are used, it has no row in the records.</summary>
    public const string WithTheProgram = "Comes with the program.";

    /// <summary>Measured or put in force before there was a log.</summary>
    public const string BeforeTheLog = "Recorded before the log began; entered when the records were brought up to date.";

    /// <summary>Rows of a version that did not enter them all.</summary>
    public const string Inventory = "Kept beside the log by an older version; entered as it stood when the records were brought up to date. It proves nothing of the time before.";
}
