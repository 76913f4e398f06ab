using GrainVision.Measuring;

namespace GrainVision.Service.Measurements;

/// <summary>A photo and what is asked of it.</summary>
/// <param name="Photo">The file as received.</param>
/// <param name="Request">The request, read.</param>
/// <param name="RequestJson">The request as it goes on record.</param>
internal sealed record MeasuringOrder(ReadOnlyMemory<byte> Photo, MeasuringRequest Request, string RequestJson);
