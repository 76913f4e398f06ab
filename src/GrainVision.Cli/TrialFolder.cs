using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;

namespace GrainVision.Cli;

/// <summary>A photo of a piece of a trial.</summary>
/// <param name="Piece">Name of its folder.</param>
/// <param name="View">By the first letters of its name.</param>
/// <param name="Path">Of the file.</param>
/// <param name="Name">Its name in the folder.</param>
internal sealed record PieceFile(string Piece, View View, string Path, string Name);

/// <summary>The photos of a trial: one folder a piece, names that start with <c>end</c> or <c>face</c>.</summary>
internal static class TrialFolder
{
    public static Outcome<IReadOnlyList<PieceFile>> Photos(DirectoryInfo folder)
    {
        if (!folder.Exists)
            return RefusalCatalog.NoSuchFolder.Because($"There is no folder {folder.FullName}.");
        var photos = new List<PieceFile>();
        foreach (var piece in folder.EnumerateDirectories().OrderBy(d => d.Name, StringComparer.Ordinal))
        {
            foreach (var file in piece.EnumerateFiles().Where(FolderScan.IsPhoto).OrderBy(f => f.Name, StringComparer.Ordinal))
            {
                if (ViewOf(file.Name) is not { } view)
                    return RefusalCatalog.BadOption.Because($"{file.FullName} does not say what it shows.", "Let its name start with end or face, such as end-1.jpg.");
                photos.Add(new PieceFile(piece.Name, view, file.FullName, file.Name));
            }
        }

        return photos.Count == 0
            ? RefusalCatalog.NoPhotos.Because($"There is no photo in the folders of {folder.FullName}.", "Make a folder a piece, named as in the table, with its photos in it.")
            : Outcome<IReadOnlyList<PieceFile>>.ToOutcome(photos);
    }

    private static View? ViewOf(string name) =>
        name.StartsWith("end", StringComparison.OrdinalIgnoreCase) ? View.End
        : name.StartsWith("face", StringComparison.OrdinalIgnoreCase) ? View.Face
        : null;
}
