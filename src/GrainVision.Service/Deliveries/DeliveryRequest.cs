using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Measuring;

namespace GrainVision.Service.Deliveries;

/// <summary>A delivery as entered.</summary>
internal sealed record DeliveryRequest
{
    /// <summary>2,000 pieces: fifty times the usual delivery.</summary>
    private const int MostPieces = 2_000;

    /// <summary>200 characters of a name.</summary>
    private const int LongestName = 200;

    /// <summary>Limits of what is taken for a size and not for a slip of the pen: 64 quarters are 16 in, 60 in wide, 100 ft long.</summary>
    private const int MostQuarters = 64;
    private const double MostWidthIn = 60;
    private const double MostLengthFt = 100;

    public required string Supplier { get; init; }

    public required string OrderNumber { get; init; }

    public string? Species { get; init; }

    public double? StatedMoisturePercent { get; init; }

    /// <summary>Rule books that every piece is judged by.</summary>
    public required IReadOnlyList<string> RuleBooks { get; init; }

    public double? OrderedBoardFeet { get; init; }

    public IReadOnlyList<CutListLine> CutList { get; init; } = [];

    public required IReadOnlyList<Piece> Pieces { get; init; }

    /// <summary>Where the scale of every photo comes from; left out, whatever is found in the picture.</summary>
    public ScaleRequest? Scale { get; init; }

    /// <summary>The delivery, or what is wrong with it.</summary>
    public Outcome<Delivery> Read(RuleBookSet books)
    {
        if (Problem(books) is { } problem)
            return RefusalCatalog.DeliveryUnfit.Because($"The delivery does not hold together: {problem}.");
        return new Delivery
        {
            Supplier = Supplier, OrderNumber = OrderNumber, Species = Species, StatedMoisturePercent = StatedMoisturePercent,
            RuleBooks = RuleBooks, OrderedBoardFeet = OrderedBoardFeet, CutList = CutList,
        };
    }

    private string? Problem(RuleBookSet books)
    {
        if (!IsName(Supplier) || !IsName(OrderNumber) || (Species is not null && !IsName(Species)))
            return $"supplier, orderNumber and species are words of 1 to {LongestName} characters";
        if (RuleBooks.Count == 0 || RuleBooks.Distinct(StringComparer.Ordinal).Count() != RuleBooks.Count)
            return "ruleBooks names each use once, and at least one";
        if (RuleBooks.Any(id => id is null) || CutList.Any(c => c is null))
            return "a rule book or a line of the cut list is null";
        if (RuleBooks.Concat(CutList.Select(c => c.RuleBook)).FirstOrDefault(id => books.Find(id).Found is null) is { } unknown)
            return $"there is no rule book '{unknown}'";
        if (Pieces.Count is 0 or > MostPieces)
            return $"pieces are 1 to {MostPieces}";
        for (var i = 0; i < Pieces.Count; i++)
        {
            if (Pieces[i] is null || Problem(Pieces[i]) is not null)
                return $"pieces[{i}]: {(Pieces[i] is null ? "is null" : Problem(Pieces[i]))}";
        }

        if (Pieces.GroupBy(p => p.Number).FirstOrDefault(g => g.Count() > 1) is { } twice)
            return $"piece {twice.Key} is there twice";
        for (var i = 0; i < CutList.Count; i++)
        {
            var line = CutList[i];
            if (!IsName(line.Name) || !IsSize(line.LengthMm) || !IsSize(line.WidthMm) || !IsSize(line.ThicknessMm) || line.Count is < 1 or > 10_000)
                return $"cutList[{i}] needs a name, sizes in mm over 0 and a count of 1 and more";
        }

        if (CutList.GroupBy(c => c.Name, StringComparer.Ordinal).FirstOrDefault(g => g.Count() > 1) is { } part)
            return $"the part '{part.Key}' is in the cut list twice";
        return IsPercent(StatedMoisturePercent) && OrderedBoardFeet is null or > 0 and < 1e7 ? null : "statedMoisturePercent is 0 to 200, orderedBoardFeet over 0";
    }

    private static string? Problem(Piece piece)
    {
        if (piece.Id.Length > 0)
            return "an id is given by the service";
        if (piece.Number is < 1 or > 1_000_000)
            return "number is 1 and up";
        if (piece.NominalQuarters is < 1 or > MostQuarters)
            return $"nominalQuarters is 1 to {MostQuarters} (8 for 8/4)";
        if (!(piece.WidthIn is > 0 and <= MostWidthIn) || !(piece.LengthFt is > 0 and <= MostLengthFt))
            return $"widthIn is over 0 to {MostWidthIn}, lengthFt over 0 to {MostLengthFt}";
        if (!IsPercent(piece.MoisturePercent) || !(piece.WeightLb is null or > 0 and < 100_000))
            return "moisturePercent is 0 to 200, weightLb over 0";
        return (piece.Species is null || IsName(piece.Species)) && (piece.SpeciesMark is null || IsName(piece.SpeciesMark)) ? null : "species and speciesMark are words";
    }

    private static bool IsName(string? text) => !string.IsNullOrWhiteSpace(text) && text.Length <= LongestName && !text.Any(char.IsControl);

    private static bool IsSize(double mm) => mm is > 0 and < 100_000;

    private static bool IsPercent(double? percent) => percent is null or (>= 0 and <= 200);
}
