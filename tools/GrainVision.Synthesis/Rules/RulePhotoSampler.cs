using GrainVision.Grading.Quantities;

namespace GrainVision.Synthesis.Rules;

/// <summary>
/// Chooses a drawn photo of a rule from its seed. Lengths, widths and numerals follow common practice, no source; the looks are kept apart from
/// <see cref="RuleDrawing"/>, whose rules lie beside the drawn wood.
/// </summary>
internal static class RulePhotoSampler
{
    public static RulePhotoSpec Sample(int seed, RuleStyle style)
    {
        var r = new SeededRandom((ulong)seed).Fork("rule photo " + style);
        var difficulty = (Difficulty)r.Index(3);
        var level = (int)difficulty;
        var cropped = r.Chance(0.5);
        var back = r.Chance(style == RuleStyle.Tape ? 0.9 : 0.45);
        var front = Edge(r, style, null);
        var other = back ? Edge(r, style, front) : null;
        var width = r.Uniform(1000, 1500);

        // A whole photo has a camera's shape, a cropped one any.
        var height = cropped ? width * r.Uniform(0.55, 0.8) : width * r.Pick(0.75, 2 / 3.0, 0.5625);
        var finest = front.StepMm;

        // The finest marks are at least 5.5, 4.2 or 3.2 px apart, as a photo has to be taken to be read.
        var least = Math.Max(3, (level == 0 ? 5.5 : level == 1 ? 4.2 : 3.2) / finest);
        var pitch = r.LogUniform(least, Math.Max(least * 1.3, 25));
        var seen = width / pitch;
        var length = style == RuleStyle.Tape ? 1000 : r.Pick(150, 300);
        var turn = r.Chance(0.25) ? r.Uniform(-Math.PI, Math.PI) : (r.Index(2) * Math.PI) + r.Normal(0, 0.12);
        var vertical = Math.Abs(Math.Sin(turn)) > 0.6;
        seen *= vertical ? height / width : 1;
        var widthMm = style switch
        {
            RuleStyle.Tape => r.Uniform(13, 27),
            RuleStyle.Wooden => r.Uniform(24, 34),
            RuleStyle.Folding => r.Uniform(14, 18),
            RuleStyle.WhitePlastic => r.Uniform(22, 38),
            _ => r.Uniform(13, 32),
        };

        // From one end of the rule in view to its middle filling the picture.
        var start = length <= seen ? r.Uniform(-0.1, Math.Max(0, seen - length)) : -r.Uniform(-0.15 * seen, length - (0.6 * seen));
        var lookAt = (seen / 2) - start;
        lookAt = Math.Clamp(lookAt, 0.15 * Math.Min(seen, length), length - (0.15 * Math.Min(seen, length)));
        var grow = cropped ? r.Uniform(1.25, 2.2) : 1;
        var (fullW, fullH) = (width * grow, height * grow);
        var axis = cropped
            ? new PointPx(r.Uniform(width - (fullW / 2), fullW / 2), r.Uniform(height - (fullH / 2), fullH / 2))
            : new PointPx((Math.Round(width) - 1) / 2, (Math.Round(height) - 1) / 2);
        var tilt = Units.DegToRad(level == 0 ? r.Uniform(0, 10) : level == 1 ? r.Uniform(0, 20) : r.Uniform(0, 35));
        var away = r.Uniform(15, 70) * Math.Min(1, 12 / pitch);
        var camera = RuleCamera.At(
            axis, r.Uniform(0.68, 0.95) * fullW, r.Normal(0, 0.013), 0.5 * Math.Sqrt((fullW * fullW) + (fullH * fullH)),
            new PointPx(lookAt, r.Chance(0.5) ? -0.5 * away : 0.3 * widthMm), new PointPx(width / 2, height / 2), pitch, turn, tilt, r.Uniform(0, 2 * Math.PI));
        var along = Math.Clamp(lookAt + r.Uniform(-20, 20), 0, length);

        // The piece shows: its middle lies in the picture.
        while (away > 2 && !Shows(camera.ToPx(along, -away)))
            (away, along) = (0.85 * away, lookAt + (0.85 * (along - lookAt)));
        var hidden = r.Index(level == 0 ? 8 : 4);
        var span = Math.Min(seen, length);
        var handAt = lookAt + (r.Uniform(-0.35, 0.35) * span);
        var (ground, ink) = RuleLooks.Of(style, r, level);
        return new RulePhotoSpec
        {
            Seed = seed, Style = style, Difficulty = difficulty, Cropped = cropped, Width = (int)Math.Round(width), Height = (int)Math.Round(height),
            LengthMm = length, WidthMm = widthMm, Front = front, Back = other, Camera = camera,
            PlaceMm = new PointPx(along, -away), Ground = ground, Ink = ink,
            Wear = level == 0 ? r.Uniform(0, 0.1) : level == 1 ? r.Uniform(0, 0.3) : r.Uniform(0, 0.6),
            Glare = (r.Uniform(lookAt - (0.4 * span), lookAt + (0.4 * span)), r.Uniform(5, 30), r.Chance(0.5) ? r.Uniform(0, 0.25 + (0.35 * level)) : 0),
            Hand = hidden == 1 ? (handAt - (r.Uniform(0.03, 0.05 + (0.05 * level)) * span), handAt + (r.Uniform(0.03, 0.05 + (0.05 * level)) * span)) : (0, 0),
            CoveredBeyondMm = hidden == 2 ? r.Uniform(0.5, 0.8) * widthMm : double.PositiveInfinity,
            EndCoveredFromMm = hidden == 3 ? lookAt + (r.Uniform(0.1, 0.3) * span) : double.PositiveInfinity,
            BlurPx = level == 0 ? r.Uniform(0.4, 0.8) : level == 1 ? r.Uniform(0.5, 1.1) : r.Uniform(0.6, 1.6),
            Noise = level == 0 ? r.Uniform(0.5, 2) : r.Uniform(1, 4 + level), JpegQuality = (int)r.Uniform(level == 2 ? 60 : 80, 96),
        };

        bool Shows(PointPx p) => p.X > 0.08 * width && p.X < 0.92 * width && p.Y > 0.08 * height && p.Y < 0.92 * height;
    }

    private static RuleEdge Edge(SeededRandom r, RuleStyle style, RuleEdge? other)
    {
        RuleDivision[] choices = style switch
        {
            RuleStyle.Tape or RuleStyle.Folding => other is null ? [RuleDivision.Millimetres, RuleDivision.Millimetres, RuleDivision.MillimetresTens] : [RuleDivision.Sixteenths, RuleDivision.ThirtySeconds, RuleDivision.Millimetres],
            RuleStyle.Wooden or RuleStyle.WhitePlastic => [RuleDivision.Millimetres, RuleDivision.Millimetres, RuleDivision.Sixteenths, RuleDivision.HalfMillimetres],
            _ => [RuleDivision.Millimetres, RuleDivision.Millimetres, RuleDivision.HalfMillimetres, RuleDivision.ThirtySeconds, RuleDivision.SixtyFourths, RuleDivision.Sixteenths],
        };
        var division = choices[r.Index(choices.Length)];
        var step = division switch { RuleDivision.SixtyFourths => 0.4, RuleDivision.HalfMillimetres => 0.5, RuleDivision.ThirtySeconds => 0.8, _ => 1.0 };
        var inch = division >= RuleDivision.Sixteenths;
        var shortest = (inch ? r.Uniform(1.7, 2.6) : r.Uniform(1.8, 3.4)) * (style is RuleStyle.Wooden or RuleStyle.Tape ? 1.2 : 1);
        return new RuleEdge(
            division, shortest, inch ? r.Uniform(1.18, 1.32) : r.Uniform(1.25, 1.5),
            Math.Min(0.38 * step, style is RuleStyle.Wooden or RuleStyle.Folding or RuleStyle.Tape ? r.Uniform(0.2, 0.34) : style == RuleStyle.WhitePlastic ? r.Uniform(0.16, 0.26) : r.Uniform(0.12, 0.22)),
            style == RuleStyle.Anodised ? r.Uniform(0.3, 1.2) : style == RuleStyle.Wooden && r.Chance(0.3) ? r.Uniform(0.2, 0.6) : 0,
            r.Chance(0.06) ? 0 : inch ? r.Uniform(2.4, 4.2) : r.Uniform(1.9, 3.2), r.Chance(0.3), r.Index(12));
    }
}
