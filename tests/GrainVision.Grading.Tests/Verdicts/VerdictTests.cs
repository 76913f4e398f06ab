using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Grading.Verdicts;
using static GrainVision.Grading.Tests.Verdicts.Samples;
using static GrainVision.Grading.Findings.VerdictOutcome;

namespace GrainVision.Grading.Tests.Verdicts;

public class VerdictTests
{
    public static TheoryData<string, Measurement> Cases()
    {
        var cases = new TheoryData<string, Measurement>();
        foreach (var book in RuleBookSet.Embedded.Latest)
        {
            cases.Add(book.Id, End());
            cases.Add(book.Id, End(species: "white-ash"));
            cases.Add(book.Id, End(species: null) with { Rings = null, RingAngle = null });
            cases.Add(book.Id, Face());
            cases.Add(book.Id, Face(About(0.2, 0.01), GrainBasis.RingLines, null, [.. Enum.GetValues<BlemishKind>().Select((k, i) => Knot(5, 100 * i, kind: k))]));
        }

        return cases;
    }

    [Theory]
    [MemberData(nameof(Cases))]
    public void Verdict_WhateverItSays_CarriesCautionsAndHandChecks(string book, Measurement m)
    {
        var verdict = m.Judged(book);
        var cautions = string.Join('\n', verdict.Cautions);
        foreach (var unseen in new[] { "Never a finding of airworthiness", "qualified person", "compression failures", "compression wood", "decay", "spiral grain", "inside of the piece", "approved data", "licensed inspector" })
            Assert.Contains(unseen, cautions, StringComparison.Ordinal);
        var checks = string.Join('\n', verdict.HandChecks);
        Assert.Contains("about 20 degrees", checks, StringComparison.Ordinal); // ANC-19 2.305
        Assert.Contains("45 to 90 degrees", checks, StringComparison.Ordinal);
        Assert.Contains("all four faces", checks, StringComparison.Ordinal); // AC 43.13-1B
        Assert.Contains("both ends", checks, StringComparison.Ordinal); // ANC-19 2.413
        Assert.Contains("Moisture: 8 to 12 %", checks, StringComparison.Ordinal); // ANC-19 2.412
        Assert.Equal(verdict.HandChecks.Count, verdict.HandChecks.Distinct().Count());
    }

    [Theory]
    [MemberData(nameof(Cases))]
    public void Verdict_Reasons_GravestFirstEachWithTextAndSourceAndHoldsWithAHandCheck(string book, Measurement m)
    {
        var verdict = m.Judged(book);
        Assert.NotEmpty(verdict.Reasons);
        Assert.Equal(verdict.Reasons[0].Outcome, verdict.Outcome);
        Assert.Equal(verdict.Reasons.OrderByDescending(r => r.Outcome), verdict.Reasons);
        Assert.All(verdict.Reasons, r => Assert.False(string.IsNullOrWhiteSpace(r.Text) || string.IsNullOrWhiteSpace(r.Source)));
        Assert.All(verdict.Reasons.Where(r => r.Outcome == Hold), r => Assert.False(string.IsNullOrWhiteSpace(r.HandCheck)));
        Assert.All(verdict.Reasons.Where(r => r.Outcome == Hold), r => Assert.Contains(r.HandCheck!, verdict.HandChecks));
        Assert.Equal((book, Book(book).Version), (verdict.RuleBook, verdict.RuleBookVersion));
    }

    [Theory]
    [MemberData(nameof(Cases))]
    public void Verdict_Airworthy_IsNeverSaidOfAPiece(string book, Measurement m)
    {
        var json = JsonSerializer.Serialize(m.Judged(book), ContractJson.Options);
        Assert.All(Regex.Matches(json, "[^.\"]*airworth[^.\"]*", RegexOptions.IgnoreCase).Select(x => x.Value), s =>
            Assert.True(s.Contains("Never", StringComparison.Ordinal) || s.Contains("nothing", StringComparison.Ordinal), s));
    }

    [Theory]
    [MemberData(nameof(Cases))]
    public void Verdict_CommaCulture_GivesTheSameJson(string book, Measurement m)
    {
        var invariant = JsonSerializer.Serialize(m.Judged(book), ContractJson.Options);
        var before = CultureInfo.CurrentCulture;
        try
        {
            // fr-FR by hand: the test runs with invariant globalization.
            var comma = (CultureInfo)CultureInfo.InvariantCulture.Clone();
            comma.NumberFormat.NumberDecimalSeparator = ",";
            comma.NumberFormat.PercentDecimalSeparator = ",";
            comma.NumberFormat.NegativeSign = "~";
            CultureInfo.CurrentCulture = comma;
            Assert.Equal("1,5", $"{1.5}");
            Assert.Equal(invariant, JsonSerializer.Serialize(m.Judged(book), ContractJson.Options));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public void Verdict_FindingsThatAreNoNumbers_HoldsAndCanBeWrittenAsJson()
    {
        var nan = new Measured(double.NaN, double.NegativeInfinity, double.PositiveInfinity);
        var pith = new PithFinding(double.NaN, 0, nan);
        var bad = Knot(8) with { DiameterMm = nan, SizeMm = nan, LengthMm = double.NaN, EdgeDistanceMm = double.NaN, Probability = double.NaN };
        Measurement[] cases =
        [
            End(nan), End(angle: new RingAngleFinding(nan, double.NaN, double.NaN, Cut.FlatSawn, pith)), End(angle: Angle(80, 0.5, pith: pith)),
            End(angle: Angle(80, 0.5, double.NaN, double.NaN)), Face(nan),
            Face(blemishes: [bad, bad with { Kind = BlemishKind.PitchPocket }, bad with { Kind = BlemishKind.PitchPocket }]),
            Face(blemishes: [Knot(8), Mark(BlemishKind.PitchPocket, 5, 2, 1200)]) with { Scale = new ScaleFinding(ScaleKind.Card, default), Size = new SectionSize(nan, nan) },
        ];
        foreach (var m in cases)
        {
            foreach (var book in RuleBookSet.Embedded.Latest)
            {
                var verdict = m.Judged(book.Id);
                Assert.True(verdict.Outcome == Hold || book.Id == "shop-order", $"{book.Id}: {verdict.Reasons[0].Text}");
                Assert.NotEmpty(JsonSerializer.Serialize(verdict, ContractJson.Options));
            }
        }
    }

    [Fact]
    public void CannotSay_WordThatTheJudgeDoesNotKnow_Holds()
    {
        var verdict = (End() with { CannotSay = [new CannotSay(CannotSayTopic.Unknown, "clouds", "Look up.")] }).Judged();
        Assert.Equal(Hold, verdict.Outcome);
        Assert.Equal("Look up.", verdict.Of("cannot-say").HandCheck);
    }

    [Theory]
    [InlineData(CannotSayTopic.SpiralGrain)]
    [InlineData(CannotSayTopic.Pith)]
    [InlineData(CannotSayTopic.LatewoodShare)]
    [InlineData(CannotSayTopic.Size)]
    public void CannotSay_NoLimitRestsOnIt_IsAHandCheckOnly(CannotSayTopic what)
    {
        var verdict = (End() with { CannotSay = [new CannotSay(what, "hidden", "Do this by hand.")] }).Judged();
        Assert.Equal(Accept, verdict.Outcome);
        Assert.Contains("Do this by hand.", verdict.HandChecks);
    }

    [Fact]
    public void Book_NoLimitForABlemish_HoldsAsNotCovered()
    {
        var book = Spar with { Limits = [.. Spar.Limits.Where(l => l is not IBlemishLimit)] };
        var verdict = PhotoJudge.GiveVerdict(Face(blemishes: [Knot(1)]), book);
        Assert.Equal(Hold, verdict.Outcome);
        Assert.Equal("not-covered", verdict.Reasons[0].LimitId);
    }

    [Fact]
    public void Book_NothingThatThisViewShows_Holds()
    {
        var book = Spar with { Limits = [.. Spar.Limits.OfType<MoistureRange>()] };
        Assert.Equal(Hold, PhotoJudge.GiveVerdict(Face(), book).Outcome);
    }

    [Fact]
    public void Evaluate_OneLimit_IsWhatTheVerdictSays()
    {
        var limit = Spar.Limits.OfType<RingsPerInchMinimum>().Single();
        Assert.Equal(End().Judged().Of(limit.Id), LimitJudge.Evaluate(limit, End()).Reasons.Single());
        Assert.Empty(LimitJudge.Evaluate(limit, Face()).Reasons);
        Assert.NotEmpty(LimitJudge.Evaluate(limit, Face()).HandChecks);
    }

    [Fact]
    public void SpecificGravity_HandCheck_NamesTheFigureOfTheSpecies() // ANC-19 Table 2-13: 0.36
        => Assert.Contains(End().Judged().HandChecks, h => h.Contains("at least 0.36 (", StringComparison.Ordinal));
}
