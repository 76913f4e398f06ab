using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Questions;
using GrainVision.Records.Deliveries;
using GrainVision.Records.Measurements;
using GrainVision.Presentation.Reports;
using GrainVision.Presentation.Reports.Pdf;
using GrainVision.Service.Deliveries;
using GrainVision.Service.Http;
using GrainVision.Service.Storage;

namespace GrainVision.Service.Pieces;

/// <summary>What a delivery and a piece come to: for programs, for a spreadsheet, for paper.</summary>
internal static class ReportEndpoints
{
    public static void MapReports(this WebApplication app)
    {
        var group = app.MapGroup("/v1/deliveries/{id}").WithTags("Reports");
        group.MapGet("report", (string id, DeliveryStore store, PieceService reports) => Report(id, store, reports, r => Answer.Json(r)))
            .WithName("GetReport").WithSummary("Tally, pieces, verdicts, reasons, cut plan.").Produces<DeliveryReport>().ProducesProblems(401, 404);
        group.MapGet("report.json", (string id, DeliveryStore store, PieceService reports) => Report(id, store, reports, r => Answer.Json(r)))
            .WithName("GetReportJson").WithSummary("The same.").Produces<DeliveryReport>().ProducesProblems(401, 404);
        group.MapGet("report.csv", (string id, DeliveryStore store, PieceService reports) => Report(id, store, reports, r => Results.File(ReportCsv.Write(r), "text/csv; charset=utf-8", FileName(r, "csv"))))
            .WithName("GetReportCsv").WithSummary("One row a piece and use.").ProducesProblems(401, 404);
        group.MapGet("report.txt", (string id, DeliveryStore store, PieceService reports) => Report(id, store, reports, r => Results.Text(ReportText.Write(r))))
            .WithName("GetReportText").WithSummary("The report in plain words.").ProducesProblems(401, 404);
        group.MapGet("report.pdf", Pdf).WithName("GetReportPdf").WithSummary("The report on paper, with a page a piece.").ProducesProblems(401, 404);
        app.MapGet("/v1/pieces/{id}/questions", Questions).WithTags("Pieces")
            .WithName("ListQuestions").WithSummary("What is left to settle a piece, in walking order: each question with the finding that answers it and the uses it settles.")
            .Produces<QuestionsAnswer>().ProducesProblems(401, 404);
        app.MapGet("/v1/pieces/{id}", Piece).WithTags("Reports")
            .WithName("GetPiece").WithSummary("How a piece stands: photos, hand findings, verdict and decision for each use, questions left.").Produces<PieceAnswer>().ProducesProblems(401, 404);
    }

    private static IResult Questions(string id, DeliveryStore store, PieceService reports)
    {
        if (store.FindPiece(id) is not { } piece || store.Find(piece.DeliveryId) is not { } delivery)
            return Problems.From(FindingService.NoPiece);
        return Answer.Json(new QuestionsAnswer(id, reports.Report(delivery.Delivery, piece.Piece).Questions, QuestionFinder.Walk(reports.UsedBy(delivery.Delivery))));
    }

    private static IResult Report(string id, DeliveryStore store, PieceService reports, Func<DeliveryReport, IResult> write) =>
        store.Find(id) is { } found ? write(reports.Report(found)) : Problems.From(DeliveryService.NoDelivery);

    private static IResult Pdf(string id, DeliveryStore store, PieceService reports, MeasurementStore measurements, ContentStores stores) => Report(id, store, reports, report =>
    {
        var ofPhoto = report.Pieces.SelectMany(p => p.Findings.Photos).ToLookup(p => p.Measurement.Photo.Sha256, p => p.Measurement.Id);
        byte[]? Picture(string photo) => measurements.Find(ofPhoto[photo].FirstOrDefault() ?? "") is { } m ? stores.Pictures.Read(m.PictureSha256) : null;
        var held = TemporaryFile.Make();
        try
        {
            ReportPdf.Write(held, report, Picture);
            held.Position = 0;
            return Results.File(held, "application/pdf", FileName(report, "pdf"));
        }
        catch
        {
            held.Dispose();
            throw;
        }
    });

    private static IResult Piece(string id, DeliveryStore store, PieceService reports)
    {
        if (store.FindPiece(id) is not { } piece || store.Find(piece.DeliveryId) is not { } delivery)
            return Problems.From(FindingService.NoPiece);
        return Answer.Json(new PieceAnswer(piece.DeliveryId, reports.Report(delivery.Delivery, piece.Piece), $"/v1/pieces/{id}/decisions"));
    }

    /// <summary>ASCII letters and digits only: the order number may hold anything.</summary>
    private static string FileName(DeliveryReport report, string ending) =>
        $"delivery-{new string([.. report.Delivery.OrderNumber.Where(char.IsAsciiLetterOrDigit)])}.{ending}";
}
