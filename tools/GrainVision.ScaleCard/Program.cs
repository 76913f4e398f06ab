using System.CommandLine;
using GrainVision.Grading.Cards;
using GrainVision.Presentation.Cards;
using GrainVision.ScaleCard;

// Makes the sheet with the printed scale card, or a check target:
//   dotnet run --project tools/GrainVision.ScaleCard -- --paper a4 --format pdf --out scale-card-a4.pdf
//   dotnet run --project tools/GrainVision.ScaleCard -- check-target --pitch-mm 1.5 --angle 75 --out check-target.pdf
//   dotnet run --project tools/GrainVision.ScaleCard -- pieces --numbers 1-40 --per-page 12 --out piece-cards.pdf
var paper = new Option<string>("--paper") { Description = "Size of the sheet.", DefaultValueFactory = _ => "a4", Recursive = true };
paper.AcceptOnlyFromAmong("a4", "letter");
var format = new Option<string>("--format") { Description = "File to write: pdf (best for printing), svg or png.", DefaultValueFactory = _ => "pdf", Recursive = true };
format.AcceptOnlyFromAmong("pdf", "svg", "png");
var file = new Option<FileInfo>("--out") { Description = "File to write.", Required = true, Recursive = true };
var dpi = new Option<int>("--dpi") { Description = "Dots per inch of a png, 150 to 1200.", DefaultValueFactory = _ => 600, Recursive = true };
dpi.Validators.Add(r =>
{
    if (r.GetValueOrDefault<int>() is < 150 or > 1200)
        r.AddError("--dpi must be between 150 and 1200.");
});

var pitch = new Option<double>("--pitch-mm") { Description = "Distance between the bands, mm, 0.5 to 10.", DefaultValueFactory = _ => CheckTargetDesign.Listed[0].PitchMm };
pitch.Validators.Add(r =>
{
    if (!(r.GetValueOrDefault<double>() is >= 0.5 and <= 10))
        r.AddError("--pitch-mm must be between 0.5 and 10.");
});
var angle = new Option<double>("--angle") { Description = "Angle between the bands and the block's long side, degrees, 0 to 90.", DefaultValueFactory = _ => CheckTargetDesign.Listed[0].AngleDegrees };
angle.Validators.Add(r =>
{
    if (!(r.GetValueOrDefault<double>() is >= 0 and <= 90))
        r.AddError("--angle must be between 0 and 90.");
});

var listed = string.Join(", ", CheckTargetDesign.Listed.Select(b => FormattableString.Invariant($"{b.PitchMm} mm at {b.AngleDegrees}")));
var target = new Command("check-target", $"Makes a check target: bands of exact pitch and angle beside the card. With a marker of their own: {listed}.") { pitch, angle };
target.SetAction(result =>
{
    var sheet = new CheckTargetSheet(Paper(result), new TargetBands(result.GetValue(pitch), result.GetValue(angle)));
    Write(result, sheet.WritePdf, sheet.WriteSvg, sheet.WritePng);
});
var command = new RootCommand("Makes the sheet with the printed scale card, at exact size.") { paper, format, file, dpi, target };
command.SetAction(result =>
{
    var sheet = new CardSheet(Paper(result));
    Write(result, sheet.WritePdf, sheet.WriteSvg, sheet.WritePng);
});
command.Subcommands.Add(PieceCardsCommand.Make(paper, file));
return command.Parse(args).Invoke();

PaperSize Paper(ParseResult result) => result.GetValue(paper) == "letter" ? PaperSize.Letter : PaperSize.A4;

void Write(ParseResult result, Action<Stream> pdf, Action<Stream> svg, Action<Stream, int> png)
{
    using var stream = result.GetValue(file)!.Create();
    if (result.GetValue(format) == "png")
        png(stream, result.GetValue(dpi));
    else
        (result.GetValue(format) == "svg" ? svg : pdf)(stream);
}
