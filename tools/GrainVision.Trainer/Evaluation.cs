using GrainVision.Measuring.Blemishes;

namespace GrainVision.Trainer;

/// <summary>What is found, missed and falsely reported on one kind of picture at one threshold.</summary>
/// <param name="Surfaces">Pictures.</param>
/// <param name="Knots">True knots: real ones all, synthetic ones of 3 mm and 8 px or more; clusters left out.</param>
/// <param name="KnotsFound">Of those, with a candidate reported.</param>
/// <param name="Blemishes">True blemishes of all learnt kinds but pith, whatever their size.</param>
/// <param name="BlemishesFound">Of those, with a candidate reported.</param>
/// <param name="False">Reported candidates on no true blemish.</param>
/// <param name="FalseKnots">Of those, called a knot of any kind.</param>
/// <param name="Clear">Surfaces without any blemish.</param>
/// <param name="ClearClean">Of those, with nothing reported.</param>
internal sealed record Figures(int Surfaces, int Knots, int KnotsFound, int Blemishes, int BlemishesFound, int False, int FalseKnots, int Clear, int ClearClean);

/// <summary>Counts over a table with the classifier's probabilities.</summary>
internal sealed class Evaluation
{
    /// <summary>3 mm and 8 px: size from which a synthetic knot must be found.</summary>
    private const double LeastKnotMm = 3;
    private const double LeastKnotPx = 8;

    private readonly FeatureTable _table;
    private readonly ILookup<int, int> _rowsOfFace;

    public Evaluation(FeatureTable table, BlemishClassifier classifier)
    {
        _table = table;
        Probabilities = classifier.Classify([.. table.Rows.Select(r => r.Features)]);
        _rowsOfFace = Enumerable.Range(0, table.Rows.Count).ToLookup(i => table.Rows[i].Face);
    }

    public IReadOnlyList<double[]> Probabilities { get; }

    /// <summary>Rows that count, of one split and source.</summary>
    public IEnumerable<int> Rows(Split split, Source source) => Enumerable.Range(0, _table.Rows.Count)
        .Where(i => !_table.Rows[i].Doubtful && _table.Faces[_table.Rows[i].Face] is var f && f.Split == split && f.Source == source);

    public Figures At(Split split, Source source, IReadOnlyList<double> reportFrom, List<string>? misses = null, (int All, int Kept)[]? kinds = null)
    {
        int surfaces = 0, knots = 0, knotsFound = 0, all = 0, allFound = 0, wrong = 0, wrongKnots = 0, clear = 0, clean = 0;
        for (var f = 0; f < _table.Faces.Count; f++)
        {
            var face = _table.Faces[f];
            if (face.Split != split || face.Source != source)
                continue;
            surfaces++;
            var reported = _rowsOfFace[f].Where(i => BlemishCalibration.Reports(reportFrom, Probabilities[i])).ToList();
            for (var t = 0; t < face.Truths.Count; t++)
            {
                var (cls, diameter) = face.Truths[t];
                if (cls <= 0 || BlemishClasses.KindOf(cls) is Grading.Findings.BlemishKind.Pith)
                    continue;
                var hit = reported.Exists(i => _table.Rows[i].Truth == t);
                (all, allFound) = (all + 1, allFound + (hit ? 1 : 0));
                if (kinds is not null)
                    kinds[cls] = (kinds[cls].All + 1, kinds[cls].Kept + (hit ? 1 : 0));
                if (IsCountedKnot(face, cls, diameter))
                    (knots, knotsFound) = (knots + 1, knotsFound + (hit ? 1 : 0));
                if (!hit)
                    misses?.Add($"{face.Name}: {BlemishClasses.Word(cls)}, {diameter:F1} mm{(_rowsOfFace[f].Any(i => _table.Rows[i].Truth == t) ? "" : ", no candidate")}");
            }

            var falseOnes = reported.Where(i => _table.Rows[i].Truth < 0 && !_table.Rows[i].Doubtful).ToList();
            wrong += falseOnes.Count;
            wrongKnots += falseOnes.Count(i => BlemishClasses.IsKnot(BlemishClasses.KindOf(BlemishClasses.Likeliest(Probabilities[i]))!.Value));
            if (face.Truths.Count == 0)
                (clear, clean) = (clear + 1, clean + (falseOnes.Count == 0 ? 1 : 0));
        }

        return new Figures(surfaces, knots, knotsFound, all, allFound, wrong, wrongKnots, clear, clean);
    }

    /// <summary>The figures, and of each class how many there are and how many are reported.</summary>
    public (Figures Figures, (int All, int Kept)[] Kinds) Kept(Split split, Source source, IReadOnlyList<double> reportFrom)
    {
        var kinds = new (int All, int Kept)[BlemishClasses.Count];
        return (At(split, source, reportFrom, null, kinds), kinds);
    }

    /// <summary>False alarms a surface by the name that they are given.</summary>
    public double[] FalseByName(Split split, Source source, IReadOnlyList<double> reportFrom)
    {
        var counts = new double[BlemishClasses.Count];
        foreach (var i in Rows(split, source).Where(i => _table.Rows[i].Truth < 0 && BlemishCalibration.Reports(reportFrom, Probabilities[i])))
            counts[BlemishClasses.Likeliest(Probabilities[i])]++;
        var surfaces = Math.Max(1, _table.Faces.Count(f => f.Split == split && f.Source == source));
        return [.. counts.Select(c => c / surfaces)];
    }

    /// <summary>Rows: true class; columns: what is said, not a blemish below the threshold.</summary>
    public int[,] Confusion(Split split, Source source, IReadOnlyList<double> reportFrom)
    {
        var counts = new int[BlemishClasses.Count, BlemishClasses.Count];
        foreach (var i in Rows(split, source))
        {
            var p = Probabilities[i];
            counts[_table.Rows[i].Class, BlemishCalibration.Reports(reportFrom, p) ? BlemishClasses.Likeliest(p) : BlemishClasses.None]++;
        }

        return counts;
    }

    /// <summary>Candidates that are truly of a kind that is never allowed, yet named a sound knot or a pitch pocket so surely that a book may accept them.</summary>
    public int SurelyMisnamed(Split split, Source source) => Rows(split, source).Count(i =>
        BlemishClasses.KindOf(_table.Rows[i].Class) is Grading.Findings.BlemishKind.SpikeKnot or Grading.Findings.BlemishKind.Check or Grading.Findings.BlemishKind.ShakeOrSplit
        && Enumerable.Range(1, BlemishClasses.Count - 1).Any(k => k != _table.Rows[i].Class && Probabilities[i][k] >= 0.95
            && BlemishClasses.KindOf(k) is Grading.Findings.BlemishKind.Knot or Grading.Findings.BlemishKind.PitchPocket or Grading.Findings.BlemishKind.PinKnotCluster));

    private static bool IsCountedKnot(TableFace face, int cls, double diameterMm) => BlemishClasses.KindOf(cls) switch
    {
        Grading.Findings.BlemishKind.PinKnotCluster => face.Source != Source.Synthetic,
        { } kind when BlemishClasses.IsKnot(kind) => face.Source != Source.Synthetic || (diameterMm >= LeastKnotMm && diameterMm * face.PixelsPerMm >= LeastKnotPx),
        _ => false,
    };
}
