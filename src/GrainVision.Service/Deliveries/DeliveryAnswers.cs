using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;
using GrainVision.Records.Deliveries;

namespace GrainVision.Service.Deliveries;

/// <summary>A delivery, its pieces and what became of every photo.</summary>
internal sealed record DeliveryAnswer(
    string Id, DateTimeOffset CreatedUtc, string CreatedBy, Delivery Delivery, IReadOnlyList<Piece> Pieces, IReadOnlyList<PhotoAnswer> Photos, string Report);

/// <summary>A delivery in the list.</summary>
internal sealed record DeliveryLine(string Id, DateTimeOffset CreatedUtc, string CreatedBy, Delivery Delivery);

/// <summary>A page of the list; <c>Before</c> is the key of the next one, null on the last.</summary>
internal sealed record DeliveryPage(IReadOnlyList<DeliveryLine> Deliveries, string? Before);

/// <summary>A photo of a delivery, as answered.</summary>
internal sealed record PhotoAnswer(
    string Sha256, string FileName, PhotoState State, PhotoPlace? Place, SortedBy? SortedBy, PhotoProblem? Problem, string? Measurement)
{
    public static PhotoAnswer From(DeliveryPhoto photo) => new(
        photo.Sha256, photo.FileName, photo.State, photo.Place, photo.SortedBy, photo.Problem, photo.MeasurementId is { } id ? $"/v1/measurements/{id}" : null);
}
