using GrainVision.Records.Decisions;
using GrainVision.Records.HandFindings;

namespace GrainVision.Service.Pieces;

/// <summary>Wires up what pieces and deliveries come to.</summary>
internal static class PiecesSetup
{
    public static void AddPieces(this WebApplicationBuilder builder)
    {
        builder.Services.AddOptions<CuttingOptions>().BindConfiguration(CuttingOptions.Section).ValidateDataAnnotations().ValidateOnStart();
        builder.Services.AddSingleton<FindingStore>();
        builder.Services.AddSingleton<DecisionStore>();
        builder.Services.AddSingleton<PieceService>();
        builder.Services.AddSingleton<ReportPictures>();
        builder.Services.AddSingleton<FindingService>();
        builder.Services.AddSingleton<CutPlanService>();
    }
}
