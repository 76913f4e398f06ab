using GrainVision.Grading.Cards;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Scale.Card;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// Where this project's own sheets, seen from their card, print what looks like a steel rule: check lines with millimetres and sixteenths of an inch,
/// and the even bands of the check target. A scale read there would be scaled with the print, and a sheet printed too small would measure right.
/// </summary>
internal static class PrintedSheet
{
    /// <summary>100 mm: length of the check line in millimetres; the one in inches is 101.6.</summary>
    private const double LineMm = 100;

    /// <summary>From the foot of the millimetre graduations: 7 mm above their longest, 21 mm below the inch line and its words.</summary>
    private const double AboveMm = 8;
    private const double BelowMm = 22;

    /// <summary>4 mm: so far off perspective and lens may put what lies beside the card. A steel rule of 150 mm runs on farther.</summary>
    private const double BeyondMm = 4;

    /// <summary>Corners, card's millimetres: the bands, the check lines below the target's card, and those below the plain card.</summary>
    private static readonly (PointPx From, PointPx To)[] Places =
    [
        Wider(CheckTargetDesign.BlockAtMm, new PointPx(CheckTargetDesign.BlockLengthMm, -CheckTargetDesign.GapMm)),
        Line(CheckTargetDesign.CheckLineAtMm),
        Line(CardDesign.CheckLineAtMm),
    ];

    /// <summary>True where the whole row lies in one of them.</summary>
    public static bool Holds(Homography mmFromPx, EvenRow row)
    {
        PointPx[] ends = [row.Band.Middle + (row.Band.Along * row.Reach.FromPx), row.Band.Middle + (row.Band.Along * row.Reach.ToPx)];
        if (ends.Any(e => Math.Sign(mmFromPx.Depth(e)) != Math.Sign(mmFromPx.Depth(row.Band.Middle))))
            return false;
        var mm = ends.Select(mmFromPx.Map).ToArray();
        return Places.Any(p => mm.All(e => e.X >= p.From.X && e.X <= p.To.X && e.Y >= p.From.Y && e.Y <= p.To.Y));
    }

    /// <summary>True for a place among the bands of a check target, if that is what the card is on: looked at last, since bands are many.</summary>
    public static bool IsAmongBands(Homography mmFromPx, PointPx place)
    {
        var mm = mmFromPx.Map(place);
        return mm.X >= Places[0].From.X && mm.X <= Places[0].To.X && mm.Y >= Places[0].From.Y && mm.Y <= Places[0].To.Y;
    }

    private static (PointPx From, PointPx To) Line(PointPx at) => Wider(new PointPx(at.X, at.Y - AboveMm), new PointPx(at.X + LineMm, at.Y + BelowMm));

    private static (PointPx From, PointPx To) Wider(PointPx from, PointPx to) => (from - new PointPx(BeyondMm, BeyondMm), to + new PointPx(BeyondMm, BeyondMm));
}
