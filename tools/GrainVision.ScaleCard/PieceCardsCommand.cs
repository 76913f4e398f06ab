using System.CommandLine;
using System.Globalization;
using GrainVision.Grading.Cards;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Presentation.Cards;

namespace GrainVision.ScaleCard;

/// <summary>Prints the piece cards of a delivery: <c>pieces --numbers 1-40 --out piece-cards.pdf</c>.</summary>
internal static class PieceCardsCommand
{
    public static Command Make(Option<string> paper, Option<FileInfo> file)
    {
        var numbers = new Option<string>("--numbers") { Description = "Pieces, such as 1-40 or 3,7,12-20.", Required = true };
        var surfaces = new Option<string>("--surfaces") { Description = "all six, ends or faces of each piece.", DefaultValueFactory = _ => "all" };
        surfaces.AcceptOnlyFromAmong("all", "ends", "faces");
        var perPage = new Option<int>("--per-page") { Description = "Cards on a page, 2 to 12.", DefaultValueFactory = _ => 12 };
        perPage.Validators.Add(r =>
        {
            if (r.GetValueOrDefault<int>() is < 2 or > 12)
                r.AddError("--per-page must be between 2 and 12.");
        });
        numbers.Validators.Add(r =>
        {
            if (Numbers(r.GetValueOrDefault<string>()) is null)
                r.AddError($"--numbers is a list such as 1-40 or 3,7,12-20 of numbers from 1 to {PieceCardCode.GreatestNumber}.");
        });

        var command = new Command("pieces", "Makes sheets of piece cards: scale cards that say piece and surface, so that photos sort themselves.")
        {
            numbers, surfaces, perPage, paper, file,
        };
        command.SetAction(result =>
        {
            var wanted = Enum.GetValues<Surface>().Where(s => result.GetValue(surfaces) switch
            {
                "ends" => s <= Surface.EndB,
                "faces" => s > Surface.EndB,
                _ => true,
            }).ToList();
            var cards = Numbers(result.GetValue(numbers))!.SelectMany(n => wanted.Select(s => new PieceCard(n, s))).ToList();
            var sheets = new PieceCardSheets(result.GetValue(paper) == "letter" ? PaperSize.Letter : PaperSize.A4, cards, result.GetValue(perPage));
            using var stream = result.GetValue(file)!.Create();
            sheets.WritePdf(stream);
            result.InvocationConfiguration.Output.WriteLine($"{cards.Count} cards on {sheets.Pages} pages.");
            return 0;
        });
        return command;
    }

    /// <summary>Null where the text is no list of card numbers.</summary>
    private static List<int>? Numbers(string? text)
    {
        var all = new List<int>();
        foreach (var part in (text ?? "").Split(','))
        {
            var ends = part.Split('-');
            if (ends.Length > 2 || !int.TryParse(ends[0], NumberStyles.None, CultureInfo.InvariantCulture, out var from)
                || !int.TryParse(ends[^1], NumberStyles.None, CultureInfo.InvariantCulture, out var to)
                || from < 1 || to < from || to > PieceCardCode.GreatestNumber)
                return null;
            all.AddRange(Enumerable.Range(from, to - from + 1));
        }

        return all;
    }
}
