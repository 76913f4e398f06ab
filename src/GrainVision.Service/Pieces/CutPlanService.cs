using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text.Json;
using GrainVision.Cutting;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Pieces;

/// <summary>
/// Cut plans of deliveries. A plan may take the solver some seconds and hangs on nothing but the cut list and the clear lengths, so the last one of each
/// delivery is kept: the same report in JSON, CSV and PDF asks once.
/// </summary>
internal sealed class CutPlanService(IOptions<CuttingOptions> options)
{
    /// <summary>100 plans of a few kB each; over it all are dropped, which costs some seconds and no more.</summary>
    private const int Most = 100;

    private readonly ConcurrentDictionary<string, Lazy<CutPlan>> _plans = new(StringComparer.Ordinal);

    /// <summary>Null where the delivery has no cut list.</summary>
    public CutPlan? Plan(Delivery delivery, IEnumerable<PieceReport> pieces)
    {
        if (delivery.CutList.Count == 0)
            return null;
        List<CutStock> stock = [.. pieces.Select(p => new CutStock(p.Piece, p.ClearLengths))];
        var key = Convert.ToHexStringLower(SHA256.HashData(JsonSerializer.SerializeToUtf8Bytes(
            new { delivery.CutList, Stock = stock.Select(s => new { s.Piece, Clear = s.ClearLengths.Select(c => new { c.RuleBook, c.FromMm, c.ToMm }) }) }, ContractJson.Options)));
        if (_plans.Count >= Most)
            _plans.Clear();
        // Lazy: two who ask at once wait for one solver.
        return _plans.GetOrAdd(key, _ => new Lazy<CutPlan>(() => CutPlanner.Plan(delivery, stock, options.Value.KerfMm, options.Value.EndTrimMm))).Value;
    }
}
