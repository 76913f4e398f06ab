using System.CommandLine;
using GrainVision.ScaleCard;

// Makes the sheet with the printed scale card:
//   dotnet run --project tools/GrainVision.ScaleCard -- --paper a4 --format pdf --out scale-card-a4.pdf
//   dotnet run --project tools/GrainVision.ScaleCard -- pieces --numbers 1-40 --per-page 12 --out piece-cards.pdf
var paper = new Option<string>("--paper") { Description = "Size of the sheet.", DefaultValueFactory = _ => "a4" };
paper.AcceptOnlyFromAmong("a4", "letter");
var format = new Option<string>("--format") { Description = "File to write: pdf (best for printing) or png.", DefaultValueFactory = _ => "pdf" };
format.AcceptOnlyFromAmong("pdf", "png");
var file = new Option<FileInfo>("--out") { Description = "File to write.", Required = true };
var dpi = new Option<int>("--dpi") { Description = "Dots per inch of a png, 150 to 1200.", DefaultValueFactory = _ => 600 };
dpi.Validators.Add(r =>
{
    if (r.GetValueOrDefault<int>() is < 150 or > 1200)
        r.AddError("--dpi must be between 150 and 1200.");
});

var command = new RootCommand("Makes the sheet with the printed scale card, at exact size.") { paper, format, file, dpi };
command.SetAction(result =>
{
    var sheet = new CardSheet(result.GetValue(paper) == "letter" ? PaperSize.Letter : PaperSize.A4);
    using var stream = result.GetValue(file)!.Create();
    if (result.GetValue(format) == "png")
        sheet.WritePng(stream, result.GetValue(dpi));
    else
        sheet.WritePdf(stream);
    return 0;
});
command.Subcommands.Add(PieceCardsCommand.Make(paper, file));
return command.Parse(args).Invoke();
