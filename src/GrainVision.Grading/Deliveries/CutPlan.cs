namespace GrainVision.Grading.Deliveries;

/// <summary>A part to be cut from a piece.</summary>
/// <param name="PieceNumber">Number within the delivery.</param>
/// <param name="Part">Name of the cut-list line.</param>
/// <param name="FromMm">Station of its start, mm from end A.</param>
/// <param name="ToMm">Station of its end, mm from end A.</param>
/// <param name="CountSideBySide">How many of it lie across the section of this length.</param>
public sealed record PlannedCut(int PieceNumber, string Part, double FromMm, double ToMm, int CountSideBySide);

/// <summary>Which parts of the cut list come out of which pieces.</summary>
/// <param name="Cuts">By piece and station.</param>
/// <param name="Missing">Parts that the delivery cannot give, name to count.</param>
/// <param name="WasteFraction">Volume of the pieces used that ends in no part, 0 to 1.</param>
/// <param name="IsProvenBest">False where the solver stopped at its time limit with a good plan that may not be the best.</param>
public sealed record CutPlan(
    IReadOnlyList<PlannedCut> Cuts, IReadOnlyDictionary<string, int> Missing, double WasteFraction, bool IsProvenBest);
