using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Questions;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Deliveries;
using GrainVision.Presentation.Reports.Pdf;
using GrainVision.Presentation.Reports.Tables;
using GrainVision.Service.Deliveries;
using GrainVision.Service.Http;

namespace GrainVision.Service.Pieces;

/// <summary>What a delivery and a piece come to: for programs, for a spreadsheet, and on paper for the mill, the shop and the inspector.</summary>
internal static class ReportEndpoints
{
    public static void MapReports(this WebApplication app)
    {
        var group = app.MapGroup("/v1/deliveries/{id}").WithTags("Reports");
        group.MapGet("report", (string id, DeliveryStore store, PieceService reports) => Report(id, store, reports, r => Answer.Json(r)))
            .WithName("GetReport").WithSummary("Tally, pieces, verdicts, reasons, cut plan.").Produces<DeliveryReport>().ProducesProblems(401, 404);
        group.MapGet("report.json", (string id, DeliveryStore store, PieceService reports) => Report(id, store, reports, r => Answer.Json(r)))
            .WithName("GetReportJson").WithSummary("The same.").Produces<DeliveryReport>().ProducesProblems(401, 404);
        group.MapGet("report.csv", Table).WithName("GetReportCsv").WithSummary("One tidy table of it: a row a piece and use, or what 'table' names.").ProducesProblems(400, 401, 404);
        group.MapGet("report.pdf", (string id, DeliveryStore store, PieceService reports) => Report(id, store, reports, r => Pdf(r.Delivery, "delivery", DeliverySummary.Write, r)))
            .WithName("GetReportPdf").WithSummary("Tally and cut plan on paper.").ProducesProblems(401, 404);
        group.MapGet("shop-sheet.pdf", (string id, DeliveryStore store, PieceService reports) => Report(id, store, reports, r => Pdf(r.Delivery, "shop-sheet", ShopSheet.Write, r)))
            .WithName("GetShopSheet").WithSummary("A line a piece: verdicts, what it is good for, questions left with boxes to tick.").ProducesProblems(401, 404);
        group.MapGet("mill-letter.pdf", (string id, DeliveryStore store, PieceService reports, ReportPictures pictures) =>
                Report(id, store, reports, r => Pdf(r.Delivery, "mill-letter", (stream, report) => MillLetter.Write(stream, report, reports.UsedBy(report.Delivery), pictures.Of), r)))
            .WithName("GetMillLetter").WithSummary("The rejected pieces, the limit each broke first, with its number and a picture.").ProducesProblems(401, 404);
        app.MapGet("/v1/pieces/{id}/inspection-record.pdf", Record).WithTags("Reports")
            .WithName("GetInspectionRecord").WithSummary("A piece for an inspector: verdicts, limits with sources, readings, answers, decisions, photos, lines to sign.").ProducesProblems(401, 404);
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

    private static IResult Table(string id, string? table, DeliveryStore store, PieceService reports)
    {
        var name = table ?? "uses";
        if (!ReportTables.Names.Contains(name))
            return Problems.From(RefusalCatalog.QueryUnreadable.Because($"There is no table '{name}'.", $"Tables: {string.Join(", ", ReportTables.Names)}."));
        return Report(id, store, reports, r => Results.File(ReportTables.Write(name, r), "text/csv; charset=utf-8", FileName(r.Delivery, name, "csv")));
    }

    private static IResult Record(string id, DeliveryStore store, PieceService reports, ReportPictures pictures, TimeProvider time)
    {
        if (store.FindPiece(id) is not { } piece || store.Find(piece.DeliveryId) is not { } found)
            return Problems.From(FindingService.NoPiece);
        return Pdf(found.Delivery, string.Create(System.Globalization.CultureInfo.InvariantCulture, $"piece-{piece.Piece.Number}"),
            (stream, report) => InspectionRecord.Write(stream, found.Delivery, report, reports.UsedBy(found.Delivery), time.GetUtcNow(), pictures.Of), reports.Report(found.Delivery, piece.Piece));
    }

    private static IResult Pdf<T>(Delivery delivery, string what, Action<Stream, T> write, T report)
    {
        var held = TemporaryFile.Make();
        try
        {
            write(held, report);
            held.Position = 0;
            return Results.File(held, "application/pdf", FileName(delivery, what, "pdf"));
        }
        catch
        {
            held.Dispose();
            throw;
        }
    }

    private static IResult Piece(string id, DeliveryStore store, PieceService reports)
    {
        if (store.FindPiece(id) is not { } piece || store.Find(piece.DeliveryId) is not { } delivery)
            return Problems.From(FindingService.NoPiece);
        return Answer.Json(new PieceAnswer(piece.DeliveryId, reports.Report(delivery.Delivery, piece.Piece), $"/v1/pieces/{id}/decisions"));
    }

    /// <summary>ASCII letters and digits only: the order number may hold anything.</summary>
    private static string FileName(Delivery delivery, string what, string ending) =>
        $"{what}-{new string([.. delivery.OrderNumber.Where(char.IsAsciiLetterOrDigit)])}.{ending}";
}
