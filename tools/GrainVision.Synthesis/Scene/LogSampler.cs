using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis;

/// <summary>Grows the log round the piece: where in the log the piece was cut, at which angle, with which rings.</summary>
internal static class LogSampler
{
    internal sealed record Placed(LogModel Log, RingSequence Rings, WoodPlane Surface, double MiddleRadiusMm);

    public static Placed Place(SceneRequest request, SeededRandom random, SpeciesLook look, Piece piece)
    {
        var where = random.Fork("where");
        var angle = request.RingAngleDeg ?? DrawAngle(where);
        var half = Math.Sqrt((piece.WideMm * piece.WideMm) + (piece.ThickMm * piece.ThickMm)) / 2;
        var boxed = where.Chance(0.06) && request.View == View.End && !request.Plain && request.RingAngleDeg is null;
        var drawnDistance = boxed ? where.Uniform(2, piece.ThickMm * 0.45) : where.Uniform(half + 12, half + 220);
        var distance = request.PithDistanceMm ?? drawnDistance;
        var shape = Shape(request, random.Fork("shape"), distance);
        var log = new LogModel(shape, random.Fork("log"));
        var theta = request.Plain ? 0 : where.Uniform(-Math.PI, Math.PI);
        var middle = log.PithAt(0) + new Vec3(distance * Math.Cos(theta), distance * Math.Sin(theta), 0);
        var surface = Orient(request, where, log, piece, middle, angle);
        var rings = Grow(request, random.Fork("rings"), look, log, piece, surface);
        return new Placed(log, rings, surface, log.RadiusAt(middle));
    }

    private static double DrawAngle(SeededRandom random)
    {
        // A shop that asks for quarter-sawn stock gets mostly that, and must catch the rest.
        var roll = random.Next();
        return roll < 0.55 ? random.Uniform(60, 90) : roll < 0.80 ? random.Uniform(30, 60) : random.Uniform(0, 30);
    }

    private static LogShape Shape(SceneRequest request, SeededRandom random, double distance)
    {
        var hard = request.Difficulty switch { Difficulty.Easy => 0.4, Difficulty.Medium => 1.0, _ => 1.8 };
        var calm = request.Plain ? 0.0 : 1.0;
        (double, double)[] harmonics =
        [
            (calm * random.Uniform(0, 0.14), random.Uniform(0, 6.28)),
            (calm * random.Uniform(0, 0.03), random.Uniform(0, 6.28)),
            (calm * random.Uniform(0, 0.010), random.Uniform(0, 6.28)),
        ];
        // Sorted stock: one to three degrees of spiral are common in spruce (common practice, no source).
        var spiral = request.SpiralDeg ?? (calm * (0.4 + (0.4 * hard)) * random.Normal(0, 1.6));
        return new LogShape
        {
            Taper = (request.TaperMmPerM ?? (request.Plain ? 0 : random.Uniform(2, 9))) / 1000,
            Harmonics = request.Plain ? [] : harmonics,
            WobbleMm = calm * hard * random.Uniform(0.03, 0.10),
            PithWobbleMm = calm * hard * random.Uniform(0.2, 2.2),
            SpiralRad = Units.DegToRad(spiral),
            SpiralPerMm = request.SpiralDeg is null ? calm * hard * random.Normal(0, 0.0001) : 0,
            SpiralAtMm = distance,
            WavyGrainMm = calm * hard * random.Uniform(0, 0.25),
        };
    }

    /// <summary>Turns the piece so that the rings meet its wide side at the wanted angle and its axis leans as wanted.</summary>
    private static WoodPlane Orient(SceneRequest request, SeededRandom random, LogModel log, Piece piece, Vec3 middle, double angleDeg)
    {
        var axis = new Vec3(0, 0, random.Sign());
        var side = random.Sign();
        var n = log.RingNormalAt(middle);
        var normal = new Vec3(n.X, n.Y, 0).Unit();
        var tangent = axis.Cross(normal);
        var (sin, cos) = Math.SinCos(Units.DegToRad(angleDeg));
        var wide = (tangent * cos) + (normal * (side * sin));
        var thick = axis.Cross(wide);
        if (random.Chance(0.5))
            (wide, thick) = (-wide, -thick);
        // Diagonal grain: the piece leans in the log, within both its faces.
        var lean = request.Plain ? 0 : request.Difficulty == Difficulty.Easy ? 0.6 : 1.0;
        // One piece in four leans enough to fail 1:15 (3.8 degrees) about half the time.
        var spread = random.Chance(0.25) ? 2.4 : 1;
        var leanWide = Units.DegToRad(lean * spread * random.Normal(0, 2.0));
        var leanThick = Units.DegToRad(lean * spread * random.Normal(0, 1.6));
        var board = new BoardAxes(axis, wide, thick).Leaning(leanWide, leanThick);
        if (request.View == View.End)
        {
            var surface = EndPlane(board, middle, log);
            return request.RingAngleDeg is null ? surface : TurnToAngle(surface, log, angleDeg);
        }

        return FaceOf(request, random, log, piece, middle, board);
    }

    private static WoodPlane EndPlane(BoardAxes board, Vec3 middle, LogModel log) =>
        new(middle, board.Wide, board.Thick, true, Math.Max(8, log.RadiusAt(middle)));

    /// <summary>Turns an end about its own normal until the ring angle at its middle is exact.</summary>
    private static WoodPlane TurnToAngle(WoodPlane end, LogModel log, double angleDeg)
    {
        for (var i = 0; i < 4; i++)
        {
            var n = log.RingNormalAt(end.Origin);
            double nx = n.Dot(end.Axis1), ny = n.Dot(end.Axis2);
            var now = Units.RadToDeg(Math.Atan2(Math.Abs(nx), Math.Abs(ny)));
            // Turning both axes by t lowers the normal's own direction by t.
            var turn = Units.DegToRad(angleDeg - now) * (nx * ny >= 0 ? 1 : -1);
            var axis = end.Axis1.Cross(end.Axis2);
            end = end with { Axis1 = end.Axis1.Turned(axis, turn), Axis2 = end.Axis2.Turned(axis, turn) };
        }

        return end;
    }

    private static WoodPlane FaceOf(SceneRequest request, SeededRandom random, LogModel log, Piece piece, Vec3 middle, BoardAxes board)
    {
        // Face axes: along the piece, across the face; the third points from the face into the piece.
        var into = piece.Narrow ? board.Wide : board.Thick;
        var half = piece.DepthMm / 2;
        if (random.Chance(0.5))
            into = -into;
        var along = board.Axis;
        var surface = FacePlane(log, middle, along, into, half);
        if (request.Slope is not { } wanted)
            return surface;
        for (var i = 0; i < 8; i++)
        {
            var f = log.FibreDirectionAt(surface.Origin);
            var now = f.Dot(surface.Axis2) / f.Dot(surface.Axis1);
            // Turning the face about its normal by t takes about t off the slope.
            along = surface.Axis1.Turned(into, Math.Atan(now) - Math.Atan(wanted));
            surface = FacePlane(log, middle, along, into, half);
        }

        return surface;
    }

    private static WoodPlane FacePlane(LogModel log, Vec3 middle, Vec3 along, Vec3 into, double half)
    {
        var origin = middle - (into * half);
        return new WoodPlane(origin, along, into.Cross(along), false, Math.Max(8, log.RadiusAt(origin)));
    }

    private static RingSequence Grow(SceneRequest request, SeededRandom random, SpeciesLook look, LogModel log, Piece piece, WoodPlane surface)
    {
        // The asked-for mean holds along the radial path through the middle of the photographed end, or through the middle of the piece.
        double least = double.MaxValue, greatest = 0, all = 0;
        var reachX = Math.Min(piece.Size1Mm, 600);
        for (var i = 0; i <= 40; i++)
        {
            for (var j = 0; j <= 40; j++)
            {
                for (var k = 0; k <= 1; k++)
                {
                    var x = ((i / 40.0) - 0.5) * reachX;
                    var y = ((j / 40.0) - 0.5) * piece.Size2Mm;
                    var deep = surface.Axis1.Cross(surface.Axis2) * (k * piece.DepthMm);
                    all = Math.Max(all, log.RadiusAt(surface.At(x, y) + deep));
                }
            }
        }

        var n = log.RingNormalAt(surface.Origin);
        var step = n.Unit();
        for (var t = -300; t <= 300; t++)
        {
            var p = surface.Origin + (step * t);
            var d = p - surface.Origin;
            var inside = Math.Abs(d.Dot(surface.Axis1)) <= piece.Size1Mm / 2 && Math.Abs(d.Dot(surface.Axis2)) <= piece.Size2Mm / 2;
            if (request.View == View.Face)
            {
                var depth = d.Dot(surface.Axis1.Cross(surface.Axis2));
                inside = depth >= 0 && depth <= piece.DepthMm && Math.Abs(d.Dot(surface.Axis2)) <= piece.Size2Mm / 2;
            }

            if (!inside)
                continue;
            var u = log.RadiusAt(p);
            least = Math.Min(least, u);
            greatest = Math.Max(greatest, u);
        }

        var falseShare = request.Plain ? 0 : request.Variety ? 0.12 : request.Difficulty switch { Difficulty.Easy => 0, Difficulty.Medium => 0.02, _ => 0.06 };
        if (greatest - least < 5)
            (least, greatest) = (Math.Max(0, least - 15), greatest + 15);
        // Radius here is the reference radius; eccentric growth stretches it by the gradient's length.
        var width = Units.MmPerInch / piece.RingsPerInch * n.Length;
        return RingSequence.Grow(random, look, least, greatest, Math.Max(all, greatest), width, request.ConstantRings, falseShare, request.Variety ? random.Fork("variety") : null);
    }

    /// <summary>The piece's own axes in the log: along it, along the wide and the narrow side of its end (wide x thick = axis).</summary>
    private readonly record struct BoardAxes(Vec3 Axis, Vec3 Wide, Vec3 Thick)
    {
        public BoardAxes Leaning(double withinWide, double withinThick) => new(
            Axis.Turned(Thick, withinWide).Turned(Wide, withinThick),
            Wide.Turned(Thick, withinWide).Turned(Wide, withinThick),
            Thick.Turned(Thick, withinWide).Turned(Wide, withinThick));
    }
}
