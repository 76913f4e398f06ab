using System.Globalization;
using System.Text;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Pieces;
using GrainVision.Presentation.Text;

namespace GrainVision.Presentation.Reports;

/// <summary>The delivery report in plain words: for a screen reader, a mail, or a terminal. Says all that the PDF says, pictures apart.</summary>
public static class ReportText
{
    /// <summary>Lines ended by a line feed, the same text for the same report.</summary>
    public static string Write(DeliveryReport report)
    {
        ArgumentNullException.ThrowIfNull(report);
        var text = new StringBuilder();
        void Line(string line = "") => text.Append(line.TrimEnd()).Append('\n');
        Line($"DELIVERY REPORT: {DeliveryWords.Supplier(report.Delivery)}");
        Line($"Made {DeliveryWords.Made(report)}. {report.Pieces.Count} pieces, {Figures.Number(report.ArrivedBoardFeet, 1)} board feet arrived{Ordered(report)}.");
        if (!report.IsComplete)
            Line("NOT COMPLETE: photos are still waiting; the tally is not the last word.");
        Line();
        Line("TALLY");
        foreach (var use in report.Tally)
        {
            Line(string.Create(CultureInfo.InvariantCulture,
                $"  {use.Use}: accept {Cell(use.Accept)}; hold {Cell(use.Hold)}; reject {Cell(use.Reject)}{(use.Overrides > 0 ? $"; overridden {use.Overrides}" : "")}"));
        }

        Section(Line, "REASONS TO SEND TO THE MILL", ReportDigest.ForTheMill(report));
        Section(Line, "QUESTIONS LEFT, IN WALKING ORDER", ReportDigest.Questions(report));
        if (report.Walk.Count > 0)
        {
            Line();
            Line("ON EVERY PIECE");
            foreach (var walk in report.Walk)
                Line($"  {walk.Text}");
        }
        if (report.CutPlan is { } plan)
        {
            Line();
            Line("CUT PLAN");
            foreach (var cut in plan.Cuts)
                Line($"  Piece {cut.PieceNumber}: {cut.CountSideBySide} \u00d7 {cut.Part}, {Figures.Number(cut.FromMm, 0)} to {Figures.Number(cut.ToMm, 0)} mm from end A");
            foreach (var (part, count) in plan.Missing.OrderBy(m => m.Key, StringComparer.Ordinal))
                Line($"  Missing: {count} \u00d7 {part}");
            Line($"  Waste of the pieces used: {Figures.Number(100 * plan.WasteFraction, 0)} %{(plan.IsProvenBest ? "" : "; a better plan may exist, the search was stopped at its time limit")}.");
        }

        foreach (var (photos, title) in new[] { (report.Unsorted, "PHOTOS TO ASSIGN BY HAND"), (report.SetAside, "PHOTOS SET ASIDE") })
        {
            if (photos.Count == 0)
                continue;
            Line();
            Line(title);
            foreach (var photo in photos)
                Line($"  {photo.FileName}: {photo.Why} {photo.Advice}");
        }

        Line();
        Line("CAUTIONS");
        foreach (var caution in report.Cautions)
            Line($"  {caution}");
        foreach (var piece in report.Pieces)
            WritePiece(Line, piece, report.Delivery);
        return text.ToString();
    }

    private static void WritePiece(Action<string> line, PieceReport report, Delivery delivery)
    {
        line("");
        line($"PIECE {report.Piece.Number}: {DeliveryWords.Size(report.Piece)}, {Figures.Number(report.BoardFeet, 1)} board feet, {DeliveryWords.Species(report.Piece, delivery)}");
        foreach (var (verdict, standing) in report.Verdicts.Zip(report.Standing))
        {
            line($"  {TradeWords.Outcome(standing.Outcome).ToUpperInvariant()} for {verdict.Use} ({verdict.Scope})");
            if (DeliveryWords.Decided(standing) is { } decided)
                line($"    On record: {decided}");
            foreach (var reason in verdict.Reasons.Where(r => r.Outcome == verdict.Outcome))
                line($"    {reason.Text} [{reason.Source}]");
        }

        foreach (var (label, value) in DeliveryWords.Measurements(report, delivery))
            line($"  {label}: {value}");
        foreach (var clear in report.ClearLengths)
            line($"  Clear for {clear.RuleBook}: {Figures.Number(clear.FromMm, 0)} to {Figures.Number(clear.ToMm, 0)} mm from end A");
        foreach (var question in report.Questions)
            line($"  To do: {question.Text}");
    }

    private static void Section(Action<string> line, string title, IReadOnlyList<SharedLine> lines)
    {
        line("");
        line(title);
        foreach (var shared in lines)
            line($"  Piece{(shared.Pieces.Count == 1 ? "" : "s")} {DeliveryWords.Pieces(shared.Pieces)}: {shared.Text}");
        if (lines.Count == 0)
            line("  None.");
    }

    private static string Cell(TallyCell cell) => string.Create(CultureInfo.InvariantCulture, $"{cell.Pieces} pieces, {cell.BoardFeet:0.0} bd ft");

    private static string Ordered(DeliveryReport report) => report.Delivery.OrderedBoardFeet is { } o ? $" of {Figures.Number(o, 1)} ordered" : "";
}
