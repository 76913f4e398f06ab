using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;

namespace GrainVision.Records.Deliveries;

/// <summary>A delivery as entered.</summary>
/// <param name="Id">Time-ordered identity.</param>
/// <param name="CreatedUtc">When it was entered.</param>
/// <param name="CreatedBy">Name of the caller.</param>
/// <param name="Delivery">What was entered, its id filled in.</param>
/// <param name="ScaleJson">Where the scale of its photos comes from, as entered; null for the service's own choice.</param>
public sealed record StoredDelivery(string Id, DateTimeOffset CreatedUtc, string CreatedBy, Delivery Delivery, string? ScaleJson);

/// <summary>A piece and where it belongs.</summary>
public sealed record StoredPiece(string DeliveryId, Piece Piece);
