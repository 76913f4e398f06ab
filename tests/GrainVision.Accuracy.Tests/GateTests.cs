using GrainVision.Accuracy.Real;

namespace GrainVision.Accuracy.Tests;

/// <summary>
/// The measuring may only get better. Where it did, take the new figures over:
/// dotnet run -c Release --project tools/GrainVision.Accuracy -- --gate fixtures/accuracy-gate.json --update.
/// </summary>
public class GateTests
{
    [Fact]
    public void SmallSet_MeasuredNow_IsNowhereWorseThanTheBestSoFar()
    {
        var best = Gate.Read(Fixture("accuracy-gate.json"));
        Assert.Equal(0, best["falseAccepts"]);
        Assert.True(best.Count >= 10);
        Assert.Empty(Gate.Worse(best, Gate.Measure()));
    }

    /// <summary>
    /// Real wood (credits and truth: fixtures/registry.json, fixtures/surfaces/README.md). New figures: the command above with --real and fixtures/real-gate.json.
    /// </summary>
    [Fact]
    public void RealPictures_MeasuredNow_AreNowhereWorseThanTheBestSoFar()
    {
        var best = Gate.Read(Fixture("real-gate.json"));
        Assert.Equal(0, best["realAccepted"]);
        Assert.True(best.Count >= 8);
        Assert.Empty(Gate.Worse(best, RealGate.Measure()));
    }

    [Theory]
    [InlineData("ringAngleErrorDeg", 0.30, 0.31, true)]
    [InlineData("ringAngleErrorDeg", 0.30, 0.301, false)]
    [InlineData("ringAngleErrorDeg", 0.30, 0.10, false)]
    [InlineData("boundariesF1", 0.95, 0.93, true)]
    [InlineData("boundariesF1", 0.95, 0.99, false)]
    [InlineData("falseAccepts", 0, 1, true)]
    [InlineData("measured", 20, 19, true)]
    public void Gate_OneFigure_FailsOnlyWhereItIsWorse(string name, double best, double now, bool worse) =>
        Assert.Equal(worse ? 1 : 0, Gate.Worse(new Dictionary<string, double> { [name] = best }, new Dictionary<string, double> { [name] = now }).Count);

    [Fact]
    public void Gate_FigureThatIsGone_Fails() =>
        Assert.Single(Gate.Worse(new Dictionary<string, double> { ["ringAngleErrorDeg"] = 1 }, new Dictionary<string, double>()));

    [Fact]
    public void Update_TakesTheBetterOfEachFigureAndNeverTheWorse()
    {
        var merged = Gate.Best(
            new Dictionary<string, double> { ["boundariesF1"] = 0.95, ["ringAngleErrorDeg"] = 0.3, ["old"] = 4 },
            new Dictionary<string, double> { ["boundariesF1"] = 0.90, ["ringAngleErrorDeg"] = 0.2, ["new"] = 5 });
        Assert.Equal(new Dictionary<string, double> { ["boundariesF1"] = 0.95, ["ringAngleErrorDeg"] = 0.2, ["old"] = 4, ["new"] = 5 }, merged.ToDictionary());
    }

    private static string Fixture(string name)
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder!.FullName, "GrainVision.sln")))
            folder = folder.Parent;
        return Path.Combine(folder.FullName, "fixtures", name);
    }
}
