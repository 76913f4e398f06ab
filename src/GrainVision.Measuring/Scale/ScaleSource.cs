using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;

namespace GrainVision.Measuring.Scale;

/// <summary>
/// What gives a photo its scale: one that was seen or stated, or the stated size of the outline, which is a scale only once the outline is found.
/// </summary>
internal sealed class ScaleSource
{
    private readonly PhotoScale? _scale;
    private readonly OutlineSizeScale? _size;

    public ScaleSource(PhotoScale scale) => _scale = scale;

    public ScaleSource(OutlineSizeScale size) => _size = size;

    /// <summary>Polygons (px) where no wood is to be looked for.</summary>
    public IReadOnlyList<IReadOnlyList<PointPx>> ExclusionMask => _scale?.ExclusionMask ?? [];

    /// <summary>The photo's scale.</summary>
    /// <param name="outline">Corners of the piece, px.</param>
    /// <param name="isWhole">False where the photo cuts the piece off.</param>
    /// <param name="photo">Only its size is asked.</param>
    public Outcome<PhotoScale> Scale(IReadOnlyList<PointPx> outline, bool isWhole, UprightPhoto photo)
    {
        if (_scale is not null)
            return _scale;
        return isWhole
            ? OutlineSizeScaleMaker.MakeInPhoto(outline, _size!.FirstSideMm, _size.SecondSideMm, photo.Width, photo.Height)
            : RefusalCatalog.OutlineNotWhole.Because("The piece runs off the photo, so its stated size cannot serve as the scale.");
    }
}
