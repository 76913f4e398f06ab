using GrainVision.Grading.Cards;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Scale;

namespace GrainVision.Synthesis;

/// <summary>What lies beside the piece and how the camera frames both.</summary>
internal static class PropSampler
{
    internal sealed record Prop(ScaleProp Kind, RuleSpec? Rule, RuleLook? Look, PropPlacement? Placement, double LengthMm, double WidthMm);

    /// <summary>8 mm: between piece and card.</summary>
    private const double CardGapMm = 8;

    public static Prop Draw(SceneRequest request, SeededRandom random, Piece piece, int widthPx, int heightPx)
    {
        var kind = request.Scale ?? DrawKind(random.Next(), piece, widthPx, heightPx);
        if (kind == ScaleProp.None)
            return new Prop(kind, null, null, null, 0, 0);
        if (kind == ScaleProp.Card)
        {
            var (width, height) = CardLayer.SizeMm(request.Card);
            return new Prop(kind, null, null, Beside(request, PlaceCard(request, random, piece, width, height)), width, height);
        }

        var spec = Rule(request, random, kind, piece);
        var look = new RuleLook(
            (float)random.Uniform(0.28, 0.55),
            request.Plain ? 0 : (float)random.Uniform(0, 0.35),
            (float)random.Next(),
            (float)random.Uniform(0.72, 0.93),
            request.Plain ? 0 : (float)(random.Uniform(0, 0.5) * (request.Difficulty == Difficulty.Hard ? 2 : 1)));
        return new Prop(kind, spec, look, Beside(request, Place(request, random, piece, spec.LengthMm, spec.WidthMm)), spec.LengthMm, spec.WidthMm);
    }

    private static PropPlacement Beside(SceneRequest request, PropPlacement place) => place with { X = place.X + request.LookAtMm };

    private static ScaleProp DrawKind(double roll, Piece piece, int widthPx, int heightPx)
    {
        // A card is high: it is not laid beside a piece whose rings would then be too fine in the photo.
        var room = Math.Min(0.8 * widthPx / CardDesign.WidthMm, 0.76 * heightPx / (piece.Size2Mm + CardGapMm + CardDesign.HeightMm)) >= piece.LeastPxPerMm;
        if (roll < 0.03)
            return ScaleProp.None;
        return roll < 0.28 && room ? ScaleProp.Card : roll < 0.64 ? ScaleProp.MmRule : ScaleProp.InchRule;
    }

    private static PropPlacement PlaceCard(SceneRequest request, SeededRandom random, Piece piece, double width, double height)
    {
        var turn = Units.DegToRad(request.Plain ? 0 : random.Normal(0, request.Difficulty == Difficulty.Easy ? 1.5 : 5));
        var slack = Math.Max(0, (piece.ShownMm - width) / 2);
        var middleX = request.Plain ? 0 : random.Uniform(-slack, slack);
        var gap = random.Uniform(0.6, 1.4) * CardGapMm;
        var half = ((width * Math.Abs(Math.Sin(turn))) + (height * Math.Cos(turn))) / 2;
        var below = random.Chance(0.7) || request.Plain;
        var middleY = ((piece.Size2Mm / 2) + gap + half) * (below ? 1 : -1);
        if (!request.Plain && random.Chance(0.2))
            turn += Math.PI;
        var (sin, cos) = Math.SinCos(turn);
        double hx = width / 2, hy = height / 2;
        return new PropPlacement(middleX - (hx * cos) + (hy * sin), middleY - (hx * sin) - (hy * cos), turn);
    }

    private static RuleSpec Rule(SceneRequest request, SeededRandom random, ScaleProp kind, Piece piece)
    {
        var longRule = piece.ShownMm > 110 || random.Chance(0.3);
        // Graduated on both edges: a wider rule, or the figures would run into each other.
        var both = request.Difficulty != Difficulty.Easy && random.Chance(0.35) && !request.Plain;
        if (kind == ScaleProp.InchRule)
        {
            var fine = request.Difficulty != Difficulty.Easy && random.Chance(0.35) ? 32 : 16;
            return new RuleSpec(SteelRuleUnit.Inch, (longRule ? 12 : 6) * Units.MmPerInch, longRule || both ? 25.4 : 19.05, request.RulePartsPerInch ?? fine, both ? SteelRuleUnit.Mm : null);
        }

        var half = request.Difficulty == Difficulty.Hard && random.Chance(0.2) ? 2 : 1;
        return new RuleSpec(SteelRuleUnit.Mm, longRule ? 300 : 150, longRule || both ? 25 : 19, half, both ? SteelRuleUnit.Inch : null);
    }

    private static PropPlacement Place(SceneRequest request, SeededRandom random, Piece piece, double length, double width)
    {
        var turn = Units.DegToRad(request.Plain ? 0 : random.Normal(0, request.Difficulty == Difficulty.Easy ? 0.5 : 1.6));
        var gap = random.Uniform(3, 12) + (Math.Abs(Math.Sin(turn)) * length / 2);
        var shown = piece.ShownMm;
        // Graduations towards the piece: below it the rule lies as drawn, above it turned by half a turn.
        var start = Math.Max((-shown / 2) - random.Uniform(-8, 20), (-shown / 2) - (length * 0.3));
        if (random.Chance(0.75) || request.Plain)
            return new PropPlacement(start, (piece.Size2Mm / 2) + gap, turn);
        return new PropPlacement(-start, (-piece.Size2Mm / 2) - gap, turn + Math.PI);
    }

    /// <summary>A camera that shows the piece and what lies beside it.</summary>
    public static Camera Frame(SceneRequest request, SeededRandom random, Piece piece, Prop prop, int widthPx, int heightPx)
    {
        var d = request.Difficulty;
        var tilt = request.TiltDeg ?? (request.Plain ? 0 : Math.Abs(d switch { Difficulty.Easy => random.Normal(0, 1.5), Difficulty.Medium => random.Normal(0, 6), _ => random.Uniform(4, 25) }));
        tilt = Math.Min(tilt, 25);
        var rotation = request.RotationDeg ?? (request.Plain ? 0 : Rotation(d, random));
        var k1 = request.LensK1 ?? (request.Plain ? 0 : random.Normal(0, d switch { Difficulty.Easy => 0.003, Difficulty.Medium => 0.012, _ => 0.022 }));
        double top = -piece.Size2Mm / 2, bottom = piece.Size2Mm / 2;
        var wide = piece.ShownMm;
        if (prop.Placement is { } at)
        {
            // A rule may leave the frame at its ends and with its far edge; a card is shown whole.
            var card = prop.Kind == ScaleProp.Card;
            var corners = ScenePainter.PropCorners(at, card ? prop.LengthMm : 1, card ? prop.WidthMm : prop.WidthMm * 0.8);
            top = Math.Min(top, corners.Min(c => c.Y));
            bottom = Math.Max(bottom, corners.Max(c => c.Y));
            wide = card ? Math.Max(wide, 2 * corners.Max(c => Math.Abs(c.X))) : wide;
        }

        double wantWidth = wide / random.Uniform(0.78, 0.88), wantHeight = (bottom - top) / random.Uniform(0.74, 0.86);
        var (sin, cos) = Math.SinCos(Math.Abs(Units.DegToRad(rotation)));
        (sin, cos) = (Math.Abs(sin), Math.Abs(cos));
        var boxWidth = (wantWidth * cos) + ((bottom - top) * sin);
        var boxHeight = (wantHeight * cos) + (wide * sin);
        var scale = request.PixelsPerMm ?? Math.Min(widthPx / boxWidth, heightPx / boxHeight) * (1 - (tilt / 160));
        // A face longer than the photo: the middle of the photo looks at the middle of the part shown, which is the surface's origin.
        var aim = new PointPx(request.LookAtMm + (request.Plain ? 0 : random.Normal(0, 0.01) * piece.ShownMm), ((top + bottom) / 2) + (request.Plain ? 0 : random.Normal(0, 0.01) * piece.Size2Mm));
        var focal = random.Uniform(0.72, 1.1);
        return new Camera(widthPx, heightPx, scale, aim, Units.DegToRad(rotation), Units.DegToRad(tilt), random.Uniform(0, 2 * Math.PI), focal, k1);
    }

    private static double Rotation(Difficulty d, SeededRandom random)
    {
        var small = random.Normal(0, d switch { Difficulty.Easy => 0.8, Difficulty.Medium => 2.2, _ => 4 });
        return random.Chance(d == Difficulty.Easy ? 0.05 : 0.15) ? small + 180 : small;
    }
}
