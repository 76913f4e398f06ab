using GrainVision.Grading.Deliveries;

namespace GrainVision.Service.Pieces;

/// <summary>A piece of a delivery: what its photos say together, and where decisions on it are.</summary>
internal sealed record PieceAnswer(string Delivery, PieceReport Report, string Decisions);
