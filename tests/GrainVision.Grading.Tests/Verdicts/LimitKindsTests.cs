using System.Reflection;
using System.Text.Json.Serialization;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Tests.Pieces;

namespace GrainVision.Grading.Tests.Verdicts;

/// <summary>Every kind of limit that a rule book may hold is judged: a kind without its line would be found only when a book uses it.</summary>
public class LimitKindsTests
{
    [Fact]
    public void EveryKindOfTheContract_HasItsLine()
    {
        var kinds = typeof(Limit).GetCustomAttributes<JsonDerivedTypeAttribute>().Select(a => a.DerivedType).ToList();
        var table = typeof(Limit).Assembly.GetType("GrainVision.Grading.Verdicts.LimitKinds")!.GetField("All", BindingFlags.NonPublic | BindingFlags.Static)!.GetValue(null);
        var lines = ((System.Collections.IDictionary)table!).Keys.Cast<Type>();
        Assert.Equal(kinds.Select(k => k.Name).Order(), lines.Select(l => l.Name).Order());
    }

    [Fact]
    public void EveryLimitOfTheBooks_IsJudgedOfAPieceWithAndWithoutPhotos()
    {
        foreach (var book in RuleBookSet.Embedded.Latest)
        {
            Assert.NotEmpty(PieceAssessment.From(PieceSamples.Flitch, PieceSamples.Photos(), []).GiveVerdict(book).Reasons);
            Assert.NotEmpty(PieceAssessment.From(PieceSamples.Flitch, [], []).GiveVerdict(book).Reasons);
        }
    }
}
