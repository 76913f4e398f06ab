using GrainVision.Grading.ByHand;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Rules;

namespace GrainVision.Presentation.Text;

/// <summary>What a person measured or saw, as an inspector reads it.</summary>
internal static class HandWords
{
    /// <summary>"Moisture 10.5 ± 1 %, meter, corrected by -0.5", "face 1, mark 2: check, 24 mm long".</summary>
    public static string From(HandFinding finding, PieceReport piece, IReadOnlyList<RuleBook> books)
    {
        var place = Place(finding, piece);
        if (finding.Is is { } what)
            return $"{place}mark {Figures.Whole(finding.Blemish ?? 0)}: {(what == HandFinding.NoBlemish ? "no blemish" : what.Replace('-', ' '))}{Sizes(finding.Size)}{(finding.CloseUp is null ? "" : ", by a closer photo")}";
        if (finding.Answer is { } answer)
            return $"{place}{Limit(finding.Limit!, books)} {(answer == HandAnswer.Met ? "Looked at and kept." : "Looked at and broken.")}";
        if (finding.Species is { } species)
            return $"species: {SpeciesWords.From(species)}";
        var plusMinus = finding.PlusMinus is { } half ? $" \u00b1 {Figures.Plain(half)}" : "";
        var value = finding.Unit == "oneIn" ? $"1:{Figures.Plain(finding.Value ?? 0)}{plusMinus}" : $"{Figures.Plain(finding.Value ?? 0)}{plusMinus}{Unit(finding.Unit)}";
        return $"{place}{Quantity(finding.Quantity)} {value}{Method(finding)}";
    }

    private static string Place(HandFinding finding, PieceReport piece)
    {
        var surface = finding.Surface ?? piece.Findings.Photos.FirstOrDefault(p => p.Measurement.Id == finding.Measurement)?.Place.Surface;
        return surface is { } s ? SurfaceWords.From(s) + ", " : "";
    }

    private static string Sizes(MarkSize? size) => size is null ? ""
        : $", diameter {Figures.Plain(size.DiameterMm)}, length {Figures.Plain(size.LengthMm)}, width {Figures.Plain(size.WidthMm)}, {Figures.Plain(size.EdgeDistanceMm)} from the edge, all \u00b1 {Figures.Plain(size.PlusMinusMm)} mm";

    private static string Method(HandFinding finding) => finding.Method switch
    {
        MoistureMethod.OvenDry => ", oven-dry",
        MoistureMethod.Meter => ", meter" + (finding.SpeciesCorrection is null or 0 ? " set to the species" : $", corrected for the species by {Figures.Plain(finding.SpeciesCorrection.Value)}"),
        _ => "",
    };

    /// <summary>The limit in its book's words, since a look answers it; this program's own two by what is looked at.</summary>
    private static string Limit(string id, IReadOnlyList<RuleBook> books) => id switch
    {
        "rule-unit" => "The rule in the photos is metric.",
        "fibre-streaks" => "The fibres run as the lines in the picture.",
        _ => books.SelectMany(b => b.Limits).FirstOrDefault(l => l.Id == id)?.Text ?? "A limit of an earlier rule book.",
    };

    private static string Quantity(string? quantity) => quantity switch
    {
        "specificGravity" => "specific gravity",
        "worstInch" => "worst inch",
        "perInch" => "rings over the whole radius",
        "ringAngle" => "ring angle at the middle",
        "leastRingAngle" => "least ring angle",
        "greatestRingAngle" => "greatest ring angle",
        "worstWindow" => "slope of grain where it is steepest",
        "outerEighths" => "slope of grain in the outer eighth",
        "combinedSlope" => "true slope of grain",
        "diameterMm" => "diameter",
        "lengthMm" => "length",
        "widthMm" => "width",
        "edgeDistanceMm" => "distance from the edge",
        _ => quantity ?? "",
    };

    private static string Unit(string? unit) => unit switch
    {
        "1" or "tangent" or null => "",
        "deg" => "\u00b0",
        "rings/in" => " rings per inch",
        _ => " " + unit,
    };
}
