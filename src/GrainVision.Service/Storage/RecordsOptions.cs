using System.ComponentModel.DataAnnotations;

namespace GrainVision.Service.Storage;

/// <summary>Where the records live. Section <c>GrainVision:Records</c>.</summary>
public sealed class RecordsOptions
{
    public const string Section = "GrainVision:Records";

    /// <summary>Folder of the SQLite file, the photos and the pictures, from the folder the program was started in; made where missing.</summary>
    [Required(AllowEmptyStrings = false)]
    public string Folder { get; init; } = "data";

    /// <summary>The SQLite file, absolute.</summary>
    internal string DatabaseFile => In("records.sqlite");

    /// <summary>The folder itself, absolute.</summary>
    internal string FullFolder => Path.GetFullPath(Folder);

    internal string In(string name) => Path.Combine(FullFolder, name);
}
