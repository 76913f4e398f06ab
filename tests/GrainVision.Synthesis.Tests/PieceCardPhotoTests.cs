using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Measuring;
using GrainVision.Measuring.Intake;
using Xunit.Abstractions;

namespace GrainVision.Synthesis.Tests;

/// <summary>Piece cards beside drawn wood, through the whole camera: perspective, lens, blur, hand shake, uneven light, JPEG.</summary>
public class PieceCardPhotoTests(ITestOutputHelper output)
{
    [Fact]
    public void PieceCardReader_DrawnPhotosOfEveryDifficulty_RightPieceOrNone()
    {
        int read = 0, easyRead = 0;
        var refusals = new List<string>();
        for (var seed = 40_001; seed <= 40_060; seed++)
        {
            var card = new PieceCard(1 + (seed * 37 % 960), (Surface)(seed % 6));
            var photo = Synthesiser.Make(new SceneRequest
            {
                Seed = seed,
                View = new PhotoPlace(1, card.Surface).View,
                Difficulty = (Difficulty)(seed % 3),
                Megapixels = 0.9,
                Scale = ScaleProp.Card,
                Card = card,
                LengthMm = 300,
            });
            Assert.True(PhotoInHand.Open(photo.ToJpeg(), new IntakeLimits(), CancellationToken.None).TryGet(out var inHand, out _));
            using var disposed = inHand;
            if (inHand.ReadPieceCard(CancellationToken.None).TryGet(out var says, out var refusal))
            {
                Assert.True(says == card, $"seed {seed}: {says} instead of {card}");
                read++;
                easyRead += seed % 3 == 0 ? 1 : 0;
            }
            else
            {
                refusals.Add($"{seed} {(Difficulty)(seed % 3)} {refusal.Code} {photo.Truth.Scale.PixelsPerMm:F1} px/mm");
            }
        }

        output.WriteLine($"{read} of 60 read, {easyRead} of 20 easy ones; {string.Join("; ", refusals)}");
        Assert.Equal(20, easyRead);
        Assert.InRange(read, 50, 60);
    }
}
