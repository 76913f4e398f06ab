using GrainVision.Grading.Refusals;
using GrainVision.Records.Log;
using GrainVision.Service.Http;
using GrainVision.Service.Pieces;

namespace GrainVision.Service.Log;

/// <summary>Audit packs: proof of one piece or one delivery, to be handed to an outsider.</summary>
internal static class AuditEndpoints
{
    private static readonly Refusal Nothing = RefusalCatalog.NothingRecorded.Because("The log says nothing of that id.");

    public static void MapAudit(this WebApplication app)
    {
        app.MapGet("/v1/pieces/{id}/audit-pack", (string id, HttpContext http, AuditPack pack, PieceService pieces) => Pack(http, pack, new AuditSubject($"piece {id}", new LogFilter { Piece = id }, pieces.OfPiece(id))))
            .WithTags("Log").WithName("GetPieceAuditPack").WithSummary("A zip that proves what was measured and decided on a piece: log extract, pictures, rule books, how to verify.")
            .WithDescription("Photos as received are in it only for keys that may read originals.").Produces<Stream>(200, "application/zip").ProducesProblems(401, 404);
        app.MapGet("/v1/deliveries/{id}/audit-pack", (string id, HttpContext http, AuditPack pack, PieceService pieces) => Pack(http, pack, new AuditSubject($"delivery {id}", new LogFilter { Delivery = id }, pieces.OfDelivery(id))))
            .WithTags("Log").WithName("GetDeliveryAuditPack").WithSummary("The same for a whole delivery.").Produces<Stream>(200, "application/zip").ProducesProblems(401, 404);
    }

    private static IResult Pack(HttpContext http, AuditPack pack, AuditSubject subject)
    {
        var held = TemporaryFile.Make();
        var kept = false;
        try
        {
            if (!pack.Write(held, subject, Caller.MayReadOriginals(http)))
                return Problems.From(Nothing);
            held.Position = 0;
            kept = true;
            return Results.File(held, "application/zip", "audit-pack.zip");
        }
        finally
        {
            if (!kept)
                held.Dispose();
        }
    }
}
