using System.Text.Json;

namespace GrainVision.Accuracy.Tests;

/// <summary>The line and the file of the simulated inspections, counted by hand.</summary>
public class InspectorReportTests
{
    private static readonly InspectedPiece[] Pieces =
    [
        new(1, "Good", "accept") { Asked = ["Moisture", "Weight", "Fibres"], Photos = 6 },
        new(2, "Good", "hold") { Asked = ["Moisture", "Weight", "Slope", "Moisture", "Mark"], Photos = 8, Why = ["fibre-streaks"] },
        new(3, "Good", "not made"),
        new(4, "LooseKnot", "reject") { Photos = 6 },
        new(5, "CrackOnFace", "accept") { Asked = ["Moisture"], Photos = 10, Beyond = true, Story = "a crack" },
    ];

    [Fact]
    public void Line_CountsWhatWasMade_AndQuestionsOfGoodPieces() => Assert.Equal(
        "good: 1 of 2 accepted, failing: 1 of 2 accepted, questions a piece: median 4, most 5, photos a piece: 7.5", InspectorReport.Line(Pieces));

    [Fact]
    public void Line_OfNothing_IsZeros() => Assert.Equal(
        "good: 0 of 0 accepted, failing: 0 of 0 accepted, questions a piece: median 0, most 0, photos a piece: 0.0", InspectorReport.Line([]));

    [Fact]
    public void Table_NamesEveryFailingPieceThatWasAccepted_AndWhyGoodOnesWereNot()
    {
        var table = InspectorReport.Table(Pieces);
        Assert.Contains("Accepted though failing: seed 5 CrackOnFace: a crack", table, StringComparison.Ordinal);
        Assert.Contains("hold: fibre-streaks 1", table, StringComparison.Ordinal);
        Assert.Contains("Moisture 3, Weight 2", table, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(new[] { 3 }, 3)]
    [InlineData(new[] { 1, 4 }, 2.5)]
    [InlineData(new[] { 1, 2, 9 }, 2)]
    public void Median_OfSorted(int[] sorted, double expected) => Assert.Equal(expected, InspectorReport.Median(sorted));

    [Fact]
    public void Read_GoesOnFromABrokenRun_WithoutTheLineThatWasCutOff()
    {
        var file = Path.GetTempFileName();
        try
        {
            var line = JsonSerializer.Serialize(Pieces[0]);
            File.WriteAllText(file, line + "\n" + JsonSerializer.Serialize(Pieces[3]) + "\n" + line[..20]);
            var read = InspectorRun.Read(file);
            Assert.Equal([(1, true), (4, false)], read.Keys.Order());
            Assert.Equal(3, read[(1, true)].Asked.Count);
        }
        finally
        {
            File.Delete(file);
        }
    }
}
