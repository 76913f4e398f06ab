using System.Globalization;
using System.Security.Cryptography;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>A photo of a piece taken and measured.</summary>
/// <param name="Placed">The measurement in its place; null where it was refused both times.</param>
/// <param name="Picture">The same beside its truth.</param>
/// <param name="Taken">How many photos it took.</param>
/// <param name="Refusal">Code of the last refusal.</param>
internal sealed record PieceShot(PlacedMeasurement? Placed, PictureInHand? Picture, int Taken, string? Refusal)
{
    /// <summary>Takes and measures it; one that is refused is taken once again, as a person would.</summary>
    public static PieceShot Take(WholePiece piece, BoardShot shot, double? ringAngleDeg)
    {
        string? refused = null;
        for (var again = 0; again < 2; again++)
        {
            var photo = Synthesiser.Render(piece.Photographer.Scene(shot, piece.Care, again, out var stationMm));
            var bytes = photo.ToJpeg();
            var ask = new MeasuringRequest
            {
                View = photo.Truth.View,
                Species = piece.Piece.Species,
                RingAngleDegrees = ringAngleDeg,
                // Said once for the delivery, as a shop would.
                Scale = photo.Truth.Scale.Unit is { } unit ? new AutoScale(unit) : null,
            };
            if (MeasureJob.Run(bytes, ask, null, IntakeLimits.Default, CancellationToken.None).TryGet(out var measured, out var refusal))
            {
                measured = measured with { Id = string.Create(CultureInfo.InvariantCulture, $"{piece.Seed}-{shot.Surface}-{shot.LookAtMm:0}") };
                var known = new KnownPhoto(Convert.ToHexStringLower(SHA256.HashData(bytes)), shot.Surface, photo.Truth);
                return new PieceShot(new PlacedMeasurement(shot.Place(piece.Piece.Number, stationMm), measured), new PictureInHand(measured, known), again + 1, null);
            }

            refused = refusal.Code;
        }

        return new PieceShot(null, null, 2, refused);
    }
}
