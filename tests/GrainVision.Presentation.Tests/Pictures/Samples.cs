using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Verdicts;
using GrainVision.Measuring.Imaging;
using GrainVision.Measuring.Intake;
using GrainVision.Presentation.Pictures;
using OpenCvSharp;

namespace GrainVision.Presentation.Tests.Pictures;

/// <summary>One picture of every kind that an inspector may meet. The caller disposes the photo.</summary>
internal static class Samples
{
    /// <summary>As the programs draw.</summary>
    public static readonly PictureWork Work = new(PixelWork.Resize, PixelWork.EncodeJpeg);

    public static IEnumerable<string> Names => All.Keys;

    public static (UprightPhoto Photo, Measurement Measurement) Make(string name) => All[name]();

    private static readonly CannotSay Spiral = new(CannotSayTopic.SpiralGrain, "the ring figure on an end does not show it", "Let free-flowing ink run on all four faces and measure its slope.");

    private static readonly Dictionary<string, Func<(UprightPhoto, Measurement)>> All = new(StringComparer.Ordinal)
    {
        ["end-accept"] = EndAccept,
        ["end-hold-fine-rings"] = EndHoldFineRings,
        ["end-flat-pith-inside"] = EndFlatPithInside,
        ["face-reject"] = FaceReject,
        ["face-dark-clean"] = FaceDarkClean,
        ["cannot-say-only"] = CannotSayOnly,
        ["long-texts"] = LongTexts,
        ["tiny"] = Tiny,
        ["portrait"] = Portrait,
        ["outline-partly-outside"] = OutlinePartlyOutside,
        ["huge-aspect"] = HugeAspect,
        ["tall-strip"] = TallStrip,
        ["small-piece-in-big-photo"] = SmallPiece,
        ["nothing-at-all"] = NothingAtAll,
        ["hostile-numbers"] = HostileNumbers,
    };

    private static (UprightPhoto, Measurement) EndAccept()
    {
        var outline = DrawnWood.Box(200, 300, 1500, 500);
        var pith = new PointPx(-1400, 900);
        return (DrawnWood.Photo(2000, 1300, outline, pith, 24), DrawnWood.Bare(View.End, 2000, 1300, outline) with
        {
            Rings = DrawnWood.LevelRings(230, 1670, 550, 24),
            RingAngle = new RingAngleFinding(new Measured(77.4, 75.9, 78.8), 71, 84, Cut.QuarterSawn, new PithFinding(pith.X, pith.Y, new Measured(236, 215, 262))),
            Scale = new ScaleFinding(ScaleKind.Rule, DrawnWood.PixelsPerMm, SteelRuleUnit.Mm, 0.99, [.. Enumerable.Range(0, 140).Select(i => new PointPx(250 + (i * 10), 1000))]),
            CannotSay = [Spiral],
            Verdict = DrawnWood.Verdict(VerdictOutcome.Accept, "this end only", "Worst inch 8.7 (8.2 to 9.2) rings per inch: at least 6 are required.", "Ring angle 77° (75 to 79): at least 45° is required."),
        });
    }

    private static (UprightPhoto, Measurement) EndHoldFineRings()
    {
        var outline = new PointPx[] { new(310, 420), new(3700, 300), new(3730, 1250), new(330, 1400) };
        var pith = new PointPx(-9000, 2600);
        var (from, to) = (new PointPx(340, 900), new PointPx(3690, 760));
        var boundaries = Enumerable.Range(0, 240).Select(i => from + ((to - from) * (i / 239.0))).ToArray();
        return (DrawnWood.Photo(4000, 3000, outline, pith, 14), DrawnWood.Bare(View.End, 4000, 3000, outline) with
        {
            Species = "white-ash",
            Rings = new RingFinding(239, new Measured(18.1, 17.4, 19.2), new Measured(6.3, 5.7, 6.9), new Measured(1.4, 1.33, 1.46), new Measured(0.3, 0.25, 0.36), [from, to], boundaries)
            {
                WorstInchPath = [boundaries[100], boundaries[118]],
            },
            RingAngle = new RingAngleFinding(new Measured(71, 66, 76), 60, 80, Cut.QuarterSawn, null),
            Blemishes = [DrawnWood.Blemish(BlemishKind.Check, 2600, 620, 8, 90, 0.61), DrawnWood.Blemish(BlemishKind.Unknown, 900, 1200, 30, 25, 0.4)],
            Scale = new ScaleFinding(ScaleKind.Card, new Measured(13.37, 13.3, 13.45), Marks: [new(400, 1800), new(1600, 1800), new(1600, 2600), new(400, 2600)]),
            Warnings = [new(WarningCode.Unknown, "The photo is blurred towards the right: intervals are wider there.")],
            Verdict = DrawnWood.Verdict(VerdictOutcome.Hold, "this end only", "a") with
            {
                Reasons =
                [
                    new("rings-per-inch", VerdictOutcome.Hold, "Worst inch 6.3 rings/in (5.7 to 6.9) against at least 6 for white ash: open.", "test", "worstInch", new Measured(6.3, 5.7, 6.9), 6, "rings/in", HandCheck: "Count the rings on this end with a steel rule."),
                    new("never-allowed", VerdictOutcome.Hold, "Check (mark 1): never allowed, if it is one.", "test", "kind", At: new(2600, 620), HandCheck: "Look at the mark with a lens and say what it is."),
                ],
            },
        });
    }

    private static (UprightPhoto, Measurement) EndFlatPithInside()
    {
        var outline = DrawnWood.Box(40, 30, 1520, 840);
        var pith = new PointPx(800, 700);
        return (DrawnWood.Photo(1600, 900, outline, pith, 40), DrawnWood.Bare(View.End, 1600, 900, outline) with
        {
            Rings = LevelUpright(800, 660, 60, 40),
            RingAngle = new RingAngleFinding(new Measured(4, 1, 8), 0, 88, Cut.FlatSawn, new PithFinding(pith.X, pith.Y, new Measured(25, 24, 26)) { Boxed = true }),
            Blemishes = [DrawnWood.Blemish(BlemishKind.Pith, 800, 700, 30, 30)],
            Scale = new ScaleFinding(ScaleKind.Points, DrawnWood.PixelsPerMm, Marks: [new(100, 880), new(600, 880)]),
            Verdict = DrawnWood.Verdict(VerdictOutcome.Reject, "this end only", "The pith is inside the section."),
        });
    }

    private static RingFinding LevelUpright(double x, double fromY, double toY, double ringPx)
    {
        var n = (int)((fromY - toY) / ringPx) + 1;
        var boundaries = Enumerable.Range(0, n).Select(i => new PointPx(x, fromY - (i * ringPx))).ToArray();
        return new RingFinding(n - 1, DrawnWood.Around(6.35, 0.03), DrawnWood.Around(6.1, 0.04), DrawnWood.Around(4, 0.03), new Measured(0.24, 0.2, 0.28), [new(x, fromY), new(x, toY)], boundaries)
        {
            WorstInchPath = [new(x, 500), new(x, 246)],
        };
    }

    private static (UprightPhoto, Measurement) FaceReject()
    {
        var outline = DrawnWood.Box(150, 260, 2700, 700);
        var photo = DrawnWood.Photo(3000, 1400, outline, new PointPx(1600, -40000), 30);
        Cv2.Ellipse(photo.Bgr, new Point(900, 520), new Size(52, 40), 0, 0, 360, new Scalar(40, 60, 90), -1);
        Cv2.Ellipse(photo.Bgr, new Point(1900, 800), new Size(150, 14), 0, 0, 360, new Scalar(30, 50, 90), -1);
        PointPx[] Trace(double y) => [.. Enumerable.Range(0, 30).Select(i => new PointPx(200 + (i * 88), y + (i * 5.4) + (8 * Math.Sin(i / 4.0))))];
        return (photo, DrawnWood.Bare(View.Face, 3000, 1400, outline) with
        {
            Grain = new GrainFinding(new Measured(0.0614, 0.057, 0.066), OneIn.From(new Measured(0.0614, 0.057, 0.066)), new Measured(0.094, 0.083, 0.106), GrainBasis.RingLines,
                [Trace(300), Trace(400), Trace(500), Trace(600), Trace(700), Trace(780)])
            {
                WorstWindowCentre = new(2300, 560),
                OuterEighths = new Measured(0.07, 0.06, 0.08),
            },
            Blemishes =
            [
                DrawnWood.Blemish(BlemishKind.Knot, 900, 520, 56, 44), DrawnWood.Blemish(BlemishKind.PitchPocket, 1900, 800, 155, 18),
                DrawnWood.Blemish(BlemishKind.Check, 500, 850, 120, 4), DrawnWood.Blemish(BlemishKind.BoreHole, 1300, 380, 8, 8),
                DrawnWood.Blemish(BlemishKind.PinKnotCluster, 2550, 860, 60, 40, 0.55), DrawnWood.Blemish(BlemishKind.LooseKnot, 2700, 330, 40, 40),
                DrawnWood.Blemish(BlemishKind.Stain, 1500, 650, 90, 60), DrawnWood.Blemish(BlemishKind.Unknown, 1120, 700, 30, 22, 0.31),
            ],
            Scale = new ScaleFinding(ScaleKind.Rule, DrawnWood.PixelsPerMm, SteelRuleUnit.Inch, 0.97, [.. Enumerable.Range(0, 160).Select(i => new PointPx(200 + (i * 15.875), 1150))]),
            Verdict = DrawnWood.Verdict(VerdictOutcome.Reject, "this face only", "a", "b", "c") with
            {
                Reasons =
                [
                    new("slope-of-grain", VerdictOutcome.Reject, "Slope where it is steepest 1:10 (1:9 to 1:12) against not steeper than 1:15 for Sitka spruce: broken.", "test", "worstWindow", new Measured(0.094, 0.083, 0.106), 1 / 15.0, "tangent"),
                    new("never-allowed", VerdictOutcome.Reject, "Check (mark 3): never allowed.", "test", "kind", At: new(500, 850)),
                ],
            },
        });
    }

    private static (UprightPhoto, Measurement) FaceDarkClean()
    {
        var outline = new PointPx[] { new(120, 200), new(1780, 330), new(1740, 860), new(90, 740) };
        return (DrawnWood.Photo(1900, 1100, outline, new PointPx(-3000, -40000), 16, new Scalar(40, 60, 92), new Scalar(20, 30, 50)), DrawnWood.Bare(View.Face, 1900, 1100, outline) with
        {
            Species = null,
            Grain = new GrainFinding(new Measured(0.004, -0.006, 0.014), OneIn.From(new Measured(0.004, -0.006, 0.014)), new Measured(-0.02, -0.03, -0.01), GrainBasis.FibreStreaks,
                [[new(150, 400), new(900, 460), new(1700, 520)], [new(140, 600), new(900, 665), new(1700, 735)]])
            {
                WorstWindowCentre = new(700, 560),
            },
            Verdict = DrawnWood.Verdict(VerdictOutcome.Accept, "this face only", "Slope of grain flatter than 1:33: 1:15 or flatter is required."),
        });
    }

    private static (UprightPhoto, Measurement) CannotSayOnly()
    {
        var outline = DrawnWood.Box(200, 200, 1200, 400);
        return (DrawnWood.Photo(1600, 800, outline, new PointPx(700, 3000), 60), DrawnWood.Bare(View.Face, 1600, 800, outline) with
        {
            CannotSay =
            [
                new(CannotSayTopic.Grain, "this face is flat-grained and its figure says nothing of spiral grain", "Let free-flowing ink run along the face, or split a corner of the off-cut."),
                new(CannotSayTopic.Rings, "a long face shows them only where it is truly radial", "Count on both ends."),
            ],
            Verdict = DrawnWood.Verdict(VerdictOutcome.Hold, "this face only", "Slope of grain cannot be told from this photo."),
        });
    }

    private static (UprightPhoto, Measurement) LongTexts()
    {
        var (photo, m) = CannotSayOnly();
        var text = string.Concat(Enumerable.Repeat("The worst inch holds fewer rings than the limit asks for, and it lies next to the corner. ", 40));
        return (photo, m with
        {
            Species = new string('x', 300),
            Verdict = DrawnWood.Verdict(VerdictOutcome.Reject, "this face only, " + text, text, text) with { Use = new string('W', 500) },
            CannotSay = [new(CannotSayTopic.Size, new string('m', 400) + text, text), new(CannotSayTopic.Unknown, "line\nbreak\tand \u202Ereversed a\u0000b", "木材 ok")],
            Warnings = [.. Enumerable.Repeat(new Warning(WarningCode.Unknown, text), 9)],
            Blemishes = [.. Enumerable.Range(0, 90).Select(i => DrawnWood.Blemish((BlemishKind)(i % 12), 220 + (i % 15 * 80), 230 + (i / 15 * 60), 14, 10))],
        });
    }

    private static (UprightPhoto, Measurement) Tiny()
    {
        var outline = DrawnWood.Box(10, 15, 180, 70);
        return (DrawnWood.Photo(200, 100, outline, new PointPx(-300, 50), 9), DrawnWood.Bare(View.End, 200, 100, outline) with
        {
            Rings = DrawnWood.LevelRings(14, 186, 50, 9),
            RingAngle = new RingAngleFinding(new Measured(88, 84, 90), 80, 90, Cut.QuarterSawn, null),
            Verdict = DrawnWood.Verdict(VerdictOutcome.Accept, "this end only", "Enough rings."),
        });
    }

    private static (UprightPhoto, Measurement) Portrait()
    {
        var outline = new PointPx[] { new(1100, 200), new(1150, 2400), new(420, 2420), new(380, 220) };
        var pith = new PointPx(-2600, 4200);
        return (DrawnWood.Photo(1500, 2600, outline, pith, 30), DrawnWood.Bare(View.End, 1500, 2600, outline) with
        {
            RingAngle = new RingAngleFinding(new Measured(41.5, 39.8, 43.2), 33, 52, Cut.RiftSawn, new PithFinding(pith.X, pith.Y, new Measured(447, 380, 540))),
            Verdict = DrawnWood.Verdict(VerdictOutcome.Hold, "this end only", "Ring angle 41.5° (39.8 to 43.2) is below 45°."),
        });
    }

    private static (UprightPhoto, Measurement) OutlinePartlyOutside()
    {
        var outline = DrawnWood.Box(-200, -80, 1500, 900);
        return (DrawnWood.Photo(1200, 900, outline, new PointPx(-900, 400), 35), DrawnWood.Bare(View.End, 1200, 900, outline) with
        {
            Rings = DrawnWood.LevelRings(-150, 1250, 420, 35),
            RingAngle = new RingAngleFinding(new Measured(85, 80, 89), 70, 90, Cut.QuarterSawn, new PithFinding(-900, 400, new Measured(145, 140, 150))),
            Blemishes = [DrawnWood.Blemish(BlemishKind.Knot, 1250, 860, 80, 70)],
        });
    }

    private static (UprightPhoto, Measurement) HugeAspect()
    {
        var outline = DrawnWood.Box(50, 40, 9900, 320);
        return (DrawnWood.Photo(10000, 400, outline, new PointPx(5000, -90000), 30), DrawnWood.Bare(View.Face, 10000, 400, outline) with
        {
            Grain = new GrainFinding(new Measured(-0.031, -0.036, -0.027), OneIn.From(new Measured(-0.031, -0.036, -0.027)), new Measured(-0.05, -0.06, -0.04), GrainBasis.RingLines, [[new(100, 330), new(5000, 180), new(9800, 60)]])
            {
                WorstWindowCentre = new(7000, 200),
            },
            Blemishes = [DrawnWood.Blemish(BlemishKind.Knot, 3000, 200, 60, 50), DrawnWood.Blemish(BlemishKind.PitchPocket, 8200, 260, 120, 14)],
            Verdict = DrawnWood.Verdict(VerdictOutcome.Accept, "this face only", "Slope of grain 1:32: 1:15 or flatter is required."),
        });
    }

    private static (UprightPhoto, Measurement) TallStrip()
    {
        var outline = new PointPx[] { new(20, 20), new(20, 3980), new(180, 3980), new(180, 20) };
        return (DrawnWood.Photo(200, 4000, outline, new PointPx(90000, 2000), 20), DrawnWood.Bare(View.Face, 200, 4000, outline) with
        {
            Grain = new GrainFinding(new Measured(0.02, 0.01, 0.03), OneIn.From(new Measured(0.02, 0.01, 0.03)), new Measured(0.03, 0.02, 0.04), GrainBasis.RingLines, [[new(100, 100), new(140, 3900)]]),
            Blemishes = [DrawnWood.Blemish(BlemishKind.Knot, 100, 1000, 20, 20)],
        });
    }

    private static (UprightPhoto, Measurement) SmallPiece()
    {
        var outline = DrawnWood.Box(2600, 1700, 420, 150);
        return (DrawnWood.Photo(4000, 3000, outline, new PointPx(1500, 1775), 12), DrawnWood.Bare(View.End, 4000, 3000, outline) with
        {
            Rings = DrawnWood.LevelRings(2610, 3010, 1775, 12),
            RingAngle = new RingAngleFinding(new Measured(87, 84, 90), 80, 90, Cut.QuarterSawn, new PithFinding(1500, 1775, new Measured(131, 120, 145))),
            Scale = new ScaleFinding(ScaleKind.Card, DrawnWood.PixelsPerMm, Marks: [new(400, 300), new(900, 300), new(900, 700), new(400, 700)]),
        });
    }

    private static (UprightPhoto, Measurement) NothingAtAll()
    {
        var m = DrawnWood.Bare(View.Face, 640, 480, []);
        return (new UprightPhoto(new Mat(480, 640, MatType.CV_8UC3, new Scalar(120, 150, 180)), "", []), m with
        {
            Species = null,
            Scale = new ScaleFinding(ScaleKind.Pitch, default),
        });
    }

    private static (UprightPhoto, Measurement) HostileNumbers()
    {
        var nan = new Measured(double.NaN, double.NaN, double.NaN);
        var far = new PointPx(1e300, -1e300);
        var lost = new PointPx(double.NaN, double.PositiveInfinity);
        PointPx[] outline = [new(1e12, 1e12), lost, new(-1e12, 4), new(3, -1e15)];
        return (new UprightPhoto(new Mat(300, 400, MatType.CV_8UC3, new Scalar(120, 150, 180)), "", []), DrawnWood.Bare(View.End, 400, 300, outline) with
        {
            Scale = new ScaleFinding(ScaleKind.Rule, new Measured(1e-300, 0, double.PositiveInfinity), Marks: [far, lost, new(5, 5)]),
            Rings = new RingFinding(-3, nan, nan, nan, nan, [far, lost, new(1, 1), new(1, 1)], [lost, far, new(2, 2)]) { WorstInchPath = [far, new(0, 0)] },
            RingAngle = new RingAngleFinding(nan, double.NaN, double.NegativeInfinity, Cut.RiftSawn, new PithFinding(1e300, double.NaN, nan)),
            Grain = new GrainFinding(nan, new OneIn(double.NaN, null, double.PositiveInfinity), nan, GrainBasis.RingLines, [[far], [], [lost, new(3, 3)]]) { WorstWindowCentre = far },
            Blemishes = [new(BlemishKind.Knot, double.NaN, lost, nan, nan, double.NaN, 0, double.NaN, []), new(BlemishKind.Stain, 2, far, nan, nan, 0, 0, 0, [far, far, far])],
        });
    }
}
