using System.Globalization;
using System.Security.Cryptography;
using GrainVision.Grading.Pieces;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>A photo of a piece taken and measured.</summary>
/// <param name="Shot">What it is of.</param>
/// <param name="RingAngleDeg">Told to the measuring of a face.</param>
/// <param name="Placed">The measurement in its place; null where it was refused both times.</param>
/// <param name="Picture">The same beside its truth.</param>
/// <param name="Taken">How many photos it took.</param>
/// <param name="Refusal">Code of the last refusal.</param>
internal sealed record PieceShot(BoardShot Shot, double? RingAngleDeg, PlacedMeasurement? Placed, PictureInHand? Picture, int Taken, string? Refusal)
{
    /// <summary>3: a photo is taken at most so often.</summary>
    private const int Most = 3;

    /// <summary>Takes and measures it; one that is refused is taken once again, as a person would.</summary>
    public static PieceShot Take(WholePiece piece, BoardShot shot, double? ringAngleDeg) => From(piece, shot, ringAngleDeg, 0, 2);

    /// <summary>Takes it again with more care; as it is where that was tried often enough, or is refused.</summary>
    public PieceShot Again(WholePiece piece)
    {
        if (Taken >= Most)
            return this;
        var again = From(piece with { Care = piece.Care with { Difficulty = Difficulty.Easy } }, Shot, RingAngleDeg, Taken, Taken + 1);
        return again.Placed is null ? this with { Taken = again.Taken } : again;
    }

    private static PieceShot From(WholePiece piece, BoardShot shot, double? ringAngleDeg, int from, int to)
    {
        string? refused = null;
        for (var again = from; again < to; again++)
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
                measured = measured with { Id = string.Create(CultureInfo.InvariantCulture, $"{piece.Seed}-{shot.Surface}-{shot.LookAtMm:0}-{again}") };
                var known = new KnownPhoto(Convert.ToHexStringLower(SHA256.HashData(bytes)), shot.Surface, photo.Truth);
                return new PieceShot(
                    shot, ringAngleDeg, new PlacedMeasurement(shot.Place(piece.Piece.Number, stationMm), measured), new PictureInHand(measured, known), again + 1, null);
            }

            refused = refusal.Code;
        }

        return new PieceShot(shot, ringAngleDeg, null, null, to, refused);
    }
}
