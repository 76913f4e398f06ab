using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Lumber;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;

namespace GrainVision.Cutting;

/// <summary>Cross-section of a piece, nominal, mm, and how many of a part lie in it.</summary>
internal readonly record struct Section(double WidthMm, double ThicknessMm)
{
    /// <summary>1e-6 mm: room for the rounding of inches to mm, a thousand times less than any saw can show.</summary>
    private const double Rounding = 1e-6;

    internal static Section From(Piece piece) =>
        new(piece.WidthIn * Units.MmPerInch, BoardFeet.ThicknessInOfQuarters(piece.NominalQuarters) * Units.MmPerInch);

    /// <summary>
    /// How many lie side by side across the width, times how many leaves are resawn out of the thickness, a kerf between each two. A part keeps
    /// its width in the piece's width: turned on its side its rings would meet its faces at another angle than was judged.
    /// </summary>
    internal int CountOf(CutListLine part, double kerfMm) => Along(WidthMm, part.WidthMm, kerfMm) * Along(ThicknessMm, part.ThicknessMm, kerfMm);

    /// <summary>Parts of one size in a row with kerfs between them; 0 where none fits or a size makes no sense.</summary>
    internal static int Along(double roomMm, double partMm, double kerfMm) =>
        partMm > 0 && double.IsFinite(partMm) && double.IsFinite(roomMm) && roomMm > 0 ? (int)Math.Floor((roomMm + kerfMm + Rounding) / (partMm + kerfMm)) : 0;
}
