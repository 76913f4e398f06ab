using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Grading.Verdicts;

/// <summary>What a face is to the piece.</summary>
internal enum FaceRole
{
    /// <summary>One photo does not tell.</summary>
    NotKnown,

    /// <summary>A vertical (deep) face of a beam.</summary>
    Wide,

    /// <summary>An edge of a beam.</summary>
    Narrow,

    /// <summary>The section is as thick as it is wide: any face may become an edge.</summary>
    Either,
}

/// <summary>Another blemish as seen from one that is being judged.</summary>
/// <param name="Blemish">The other one.</param>
/// <param name="Apart">Distance along the piece, middle to middle, mm; unusable where it is not known.</param>
/// <param name="StraightApart">At most this far in a straight line, mm: what a reject must survive.</param>
/// <param name="MayBeSame">True where both may be one blemish.</param>
/// <param name="Where">" on face 3", or nothing on the same surface.</param>
internal sealed record Neighbour(BlemishFinding Blemish, Measured Apart, Measured StraightApart, bool MayBeSame, string Where);

/// <summary>What surrounds the blemishes that are being judged: one photo, or a whole piece.</summary>
internal sealed record BlemishSetting
{
    internal required Func<BlemishFinding, IReadOnlyList<Neighbour>> Neighbours { get; init; }

    /// <summary>Its number in the picture, or in the piece's list.</summary>
    internal required Func<BlemishFinding, int> NumberOf { get; init; }

    /// <summary>The knot on the opposite face that this one may come out as, or null.</summary>
    internal Func<BlemishFinding, BlemishFinding?> ThroughMate { get; init; } = _ => null;

    internal FaceRole Role { get; init; }

    /// <summary>Angle of the rings to this face, degrees, as the ends show it; null where they do not.</summary>
    internal Measured? RingAngleToFace { get; init; }

    /// <summary>True where the neighbours are those of the whole piece.</summary>
    internal bool WholePiece { get; init; }

    internal static BlemishSetting OnPhoto(Measurement m) => new()
    {
        Neighbours = b => [.. m.Blemishes.Where(o => !ReferenceEquals(o, b))
            .Select(o => new Neighbour(o, BlemishPlace.Apart(m, b, o), BlemishPlace.StraightApart(m, b, o), MayBeSame: false, Where: ""))],
        NumberOf = b => b.Number ?? IndexOf(m.Blemishes, b) + 1,
    };

    internal static int IndexOf(IReadOnlyList<BlemishFinding> all, BlemishFinding one)
    {
        var i = 0;
        while (i < all.Count && !ReferenceEquals(all[i], one))
            i++;
        return i;
    }
}
