using System.Diagnostics;
using System.Globalization;
using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Questions;
using GrainVision.Synthesis;

namespace GrainVision.Accuracy;

/// <summary>What came of one piece: a line of the file that a broken run is taken up from.</summary>
/// <param name="Seed">Its number in the run.</param>
/// <param name="Kind">"Good", or the fault.</param>
/// <param name="Outcome">accept, hold, reject, or "not made".</param>
public sealed record InspectedPiece(int Seed, string Kind, string Outcome)
{
    public string Book { get; init; } = "";

    /// <summary>Verdict before any question was answered.</summary>
    public string Before { get; init; } = "";

    /// <summary>Codes of the questions that were answered, in order.</summary>
    public IReadOnlyList<string> Asked { get; init; } = [];

    public int Photos { get; init; }

    /// <summary>Why it is not accepted: limit and, of a hold, the question that stays.</summary>
    public IReadOnlyList<string> Why { get; init; } = [];

    /// <summary>Refusals of photos.</summary>
    public IReadOnlyList<string> Refused { get; init; } = [];

    /// <summary>Of a failing piece that was accepted: true where its truth is beyond the limit by more than the answer's uncertainty.</summary>
    public bool Beyond { get; init; }

    /// <summary>What it truly is, and what was said of it.</summary>
    public string Story { get; init; } = "";

    public double Seconds { get; init; }
}

/// <summary>One piece photographed, measured, judged and asked about until no question is left or nothing changes.</summary>
internal static class Inspection
{
    /// <summary>8: rounds of questions; each answers all that is asked, so that three or four are the most that come.</summary>
    private const int MostRounds = 8;

    public static InspectedPiece Run(int seed, bool good)
    {
        var start = Stopwatch.GetTimestamp();
        if (WholePieces.Make(seed, good) is not { } piece)
            return new InspectedPiece(seed, good ? "Good" : ((Fault)(seed % Enum.GetValues<Fault>().Length)).ToString(), "not made");
        var shots = Photograph(piece);
        var inspector = new TruthfulInspector(piece.Known);
        var (hands, asked) = (new List<HandFinding>(), new List<string>());
        var assessment = Assess();
        var before = assessment.GiveVerdict(piece.Book).Outcome;
        for (var round = 0; round < MostRounds && assessment.GiveVerdict(piece.Book).Outcome == VerdictOutcome.Hold; round++)
        {
            var changed = false;
            foreach (var question in QuestionFinder.Find(assessment, [piece.Book]))
            {
                if (inspector.Answer(question, Pictures(shots)) is { Count: > 0 } findings)
                    hands.AddRange(findings);
                else if (!TakeAgain(piece, shots, TruthfulInspector.TakeAgain(question, Pictures(shots))))
                    continue;
                asked.Add(question.Code.ToString());
                changed = true;
            }

            if (!changed)
                break;
            if (hands.Select(h => h.Problem()).FirstOrDefault(p => p is not null) is { } problem)
                throw new InvalidOperationException($"Piece {seed}: an answer that the service would refuse: {problem}");
            assessment = Assess();
        }

        var verdict = assessment.GiveVerdict(piece.Book);
        var left = QuestionFinder.Find(assessment, verdict.Outcome == VerdictOutcome.Hold ? [piece.Book] : []);
        return new InspectedPiece(seed, piece.Kind, Word(verdict.Outcome))
        {
            Book = piece.Book.Id,
            Before = Word(before),
            Asked = asked,
            Photos = shots.Sum(s => s.Taken),
            Refused = [.. shots.Select(s => s.Refusal).OfType<string>()],
            Why = [.. verdict.Reasons.Where(r => r.Outcome == verdict.Outcome && r.Outcome != VerdictOutcome.Accept).Select(r => r.LimitId).Distinct()],
            Beyond = verdict.Outcome == VerdictOutcome.Accept && piece.Broken.Any(b => TruthVerdict.BeyondStated(b, verdict)),
            Story = good == (verdict.Outcome == VerdictOutcome.Accept) || (!good && verdict.Outcome != VerdictOutcome.Accept) ? "" : Story(piece, verdict, left, hands, Pictures(shots)),
            Seconds = Math.Round(Stopwatch.GetElapsedTime(start).TotalSeconds, 1),
        };

        PieceAssessment Assess() => PieceAssessment.From(piece.Piece, [.. shots.Select(s => s.Placed).OfType<PlacedMeasurement>()], hands);
    }

    private static List<PictureInHand> Pictures(List<PieceShot> shots) => [.. shots.Select(s => s.Picture).OfType<PictureInHand>()];

    /// <summary>True where at least one photo was taken again.</summary>
    private static bool TakeAgain(WholePiece piece, List<PieceShot> shots, IReadOnlyList<string> photos)
    {
        var before = shots.Sum(s => s.Taken);
        for (var i = 0; i < shots.Count; i++)
        {
            if (shots[i].Picture is { } picture && photos.Contains(picture.Photo.Sha256, StringComparer.Ordinal))
                shots[i] = shots[i].Again(piece);
        }

        return shots.Sum(s => s.Taken) > before;
    }

    /// <summary>Ends first: their ring angle goes with the faces, as in the service.</summary>
    private static List<PieceShot> Photograph(WholePiece piece)
    {
        var shots = piece.Photographer.Shots();
        List<PieceShot> taken = [.. shots.Where(s => s.Surface <= Surface.EndB).Select(s => PieceShot.Take(piece, s, null))];
        var angles = taken.Select(t => t.Placed?.Measurement.RingAngle?.Degrees).ToList();
        var (low, high) = (angles.Min(a => a?.Low), angles.Max(a => a?.High));
        taken.AddRange(shots.Where(s => s.Surface > Surface.EndB).Select(s => PieceShot.Take(piece, s, FaceRingAngle.ForMeasuring(piece.Piece, s.Surface, low, high))));
        return taken;
    }

    private static string Word(VerdictOutcome outcome) => outcome.ToString().ToLowerInvariant();

    private static string Story(WholePiece piece, Verdict verdict, IReadOnlyList<Question> left, List<HandFinding> hands, List<PictureInHand> pictures)
    {
        var broken = piece.Broken.Select(b => b.LimitId).ToHashSet(StringComparer.Ordinal);
        var reasons = verdict.Outcome == VerdictOutcome.Accept ? verdict.Reasons.Where(r => broken.Contains(r.LimitId)) : verdict.Reasons.Where(r => r.Outcome == verdict.Outcome);
        var marks = pictures.SelectMany(p => p.Photo.Truth.Blemishes.Select(b => string.Create(
            CultureInfo.InvariantCulture, $"{p.Photo.Surface} {b.Kind} {b.LengthMm:0.0} x {b.WidthMm:0.0} mm, least width {b.DiameterMm:0.00} mm = {b.DiameterMm * p.Photo.Truth.Scale.PixelsPerMm:0.0} px, contrast {b.Contrast:0.00}, edge {b.EdgeDistanceMm:0.0} mm")));
        return string.Join(" | ", (string[])
        [
            $"{piece.Book.Id}, {piece.Piece.Species}, {piece.Care.Difficulty}, {piece.Care.Scale}",
            $"TRUTH breaks {string.Join("; ", piece.Broken.Select(b => b.Text).DefaultIfEmpty("nothing"))}",
            $"BLEMISHES {string.Join("; ", marks.DefaultIfEmpty("none"))}",
            $"VERDICT {string.Join("; ", reasons.Select(r => $"{r.LimitId}/{r.Surface}: {r.Text}").Distinct())}",
            $"HANDS {string.Join("; ", hands.Select(h => h.Is is { } what ? $"{h.Measurement}#{h.Blemish} {what}" : h.Quantity is { } q ? string.Create(CultureInfo.InvariantCulture, $"{q} {h.Value} {h.Unit}") : $"{h.Limit} {h.Answer}{h.Species}"))}",
            $"LEFT {string.Join("; ", left.Select(q => $"{q.Id}: {q.Text}"))}",
        ]);
    }
}
