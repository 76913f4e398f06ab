using System.Text;
using GrainVision.Grading.Quantities;

namespace GrainVision.Accuracy;

/// <summary>The table that goes into RESULTS.md.</summary>
internal static class Report
{
    public static string Table(Score score)
    {
        var text = new StringBuilder();
        text.AppendLine("| quantity | photos | bias | half within | 90 % within | worst | 95 % interval holds |");
        text.AppendLine("|---|---|---|---|---|---|---|");
        foreach (var row in score.Rows.Where(r => r.Count > 0))
            text.AppendLine(row.Line());
        var all = score.Trials.Count;
        var ends = score.Trials.Count(t => t.Truth.Rings is not null);
        var faces = all - ends;
        if (ends > 0)
            text.AppendLine($"\nboundaries: F1 {score.BoundaryF1:0.000} at 0.15 mm; rings given on {score.PerInch.Count} of {ends} ends");
        if (faces > 0)
        {
            var edge = score.Trials.Count(t => t.Truth.Grain is { NearRadial: true });
            text.AppendLine($"slope given on {score.SlopeEdge.Count} of {edge} near-radial faces and {score.SlopeFlat.Count} of {faces - edge} others");
            text.AppendLine($"knots of 3 mm and more found: {score.KnotsFound} of {score.Knots}; false blemishes on {score.FacesMeasured} faces: {score.FalseBlemishes}");
        }

        var refused = score.Trials.Where(t => t.Refusal is not null).GroupBy(t => t.Refusal!.Code).OrderByDescending(g => g.Count());
        text.AppendLine($"refused: {string.Join(", ", refused.Select(g => $"{g.Key} {g.Count()}").DefaultIfEmpty("none"))}");
        text.AppendLine($"median time {score.Trials.Select(t => t.Milliseconds).Order().ElementAt(all / 2):0} ms");
        return text.ToString();
    }

    public static string Line(Trial t)
    {
        var c = t.Truth.Conditions;
        var head = $"{t.Truth.Seed,5} {t.Truth.Species,-17} {t.Truth.Scale.Prop,-8} {c.PxPerRing,5:0.0} px/ring blur {c.BlurSigmaPx:0.0} tilt {c.TiltDeg,4:0.0} ";
        if (t.Answer is not { } m)
            return head + "refused " + t.Refusal!.Code;
        var text = new StringBuilder(head);
        text.Append($"scale {100 * ((m.Scale.PixelsPerMm.Value / t.Truth.Scale.PixelsPerMm) - 1):+0.00;-0.00} % ");
        text.Append($"corner {Score.FarthestCorner(m.Outline, t.Truth.Outline) / t.Truth.Scale.PixelsPerMm:0.00} mm ");
        if (t.Truth.Rings is { } r)
            text.Append(m.Rings is { } f ? $"rings {r.PerInch:0.00} -> {Show(f.PerInch)} ({f.Count}/{r.Count}) worst {r.WorstInch:0.00} -> {Show(f.WorstInch)} " : "rings - ");
        if (t.Truth.RingAngle is { } a)
            text.Append(m.RingAngle is { } f ? $"angle {a.Degrees:0.0} -> {Show(f.Degrees)} " : "angle - ");
        if (t.Truth.Grain is { } g)
            text.Append(m.Grain is { } f ? $"slope {g.Slope:0.0000} ({(g.NearRadial ? "edge" : "flat")} {g.RingAngleDeg:0}°, ring lines {g.RingLineSlope:0.000}) -> {f.Slope.Value:0.0000} ({f.Slope.Low:0.0000} {f.Slope.High:0.0000}) {f.Basis} " : $"slope {g.Slope:0.0000} ({(g.NearRadial ? "edge" : "flat")} {g.RingAngleDeg:0}°) - ");
        if (m.CannotSay.Count > 0)
            text.Append($"cannot say {string.Join("; ", m.CannotSay.Select(s => s.Subject + ": " + s.Why))} ");
        text.Append($"blemishes {m.Blemishes.Count}/{t.Truth.Blemishes.Count}");
        return text.ToString();
    }

    private static string Show(Measured m) => $"{m.Value:0.00} ({m.Low:0.00} {m.High:0.00})";
}
