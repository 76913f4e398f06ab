using GrainVision.Measuring.Angle;
using GrainVision.Measuring.Orientation;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Orientation;

/// <summary>Plain geometry: cells every 2 mm over 120 x 60 mm about a field of straight rings with their normal along +u.</summary>
public sealed class OrientationResidualsTests
{
    private static readonly RingField Field = new(new Point2d(60, 30), 70, 0, 0, []);

    [Fact]
    public void TurnRad_CellsOnTheField_None() => Assert.Equal(0, OrientationResiduals.Compute(Cells(_ => 0), Field).TurnRad(new Point2d(37, 21)), 9);

    /// <summary>A wave of 40 mm, 2° high: a Gaussian of 3 mm leaves exp(-2 (pi·3/40)²) = 0.895 of it, the ridge most of that.</summary>
    [Fact]
    public void TurnRad_WavingRings_FollowsTheWave()
    {
        const double high = 0.035;
        var waves = OrientationResiduals.Compute(Cells(p => high * Math.Sin(2 * Math.PI * p.X / 40)), Field);

        Assert.InRange(waves.TurnRad(new Point2d(50, 30)), 0.75 * high, 0.95 * high);
        Assert.InRange(waves.TurnRad(new Point2d(70, 30)), -0.95 * high, -0.75 * high);
    }

    /// <summary>A knot turns the grain by far more than rings wave: its cells have no say.</summary>
    [Fact]
    public void TurnRad_Knot_IsNotFollowed()
    {
        var waves = OrientationResiduals.Compute(Cells(p => p.DistanceTo(new Point2d(60, 30)) < 8 ? 0.9 : 0), Field);

        Assert.InRange(waves.TurnRad(new Point2d(60, 30)), -0.002, 0.002);
    }

    [Fact]
    public void TurnRad_BeyondTheCells_AsAtTheLastOfThem()
    {
        var waves = OrientationResiduals.Compute(Cells(_ => 0.02), Field);

        Assert.Equal(waves.TurnRad(new Point2d(0, 30)), waves.TurnRad(new Point2d(-5, 30)), 9);
    }

    /// <summary>A path along waving rings ends where a true radius does: the sideways drift of the wave is the integral of its slope.</summary>
    [Fact]
    public void NormalRad_WithWaves_IsTurned()
    {
        var waving = Field with { Waves = OrientationResiduals.Compute(Cells(_ => 0.02), Field) };

        Assert.InRange(waving.NormalRad(new Point2d(60, 30)) - Field.NormalRad(new Point2d(60, 30)), 0.017, 0.02);
    }

    private static List<OrientationCell> Cells(Func<Point2d, double> turnRad)
    {
        var cells = new List<OrientationCell>();
        for (var x = 1.0; x < 120; x += 2)
        {
            for (var y = 1.0; y < 60; y += 2)
                cells.Add(new OrientationCell(new Point2d(x, y), turnRad(new Point2d(x, y)), 1, 1));
        }

        return cells;
    }
}
