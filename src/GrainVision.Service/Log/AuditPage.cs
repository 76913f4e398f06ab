using System.Globalization;
using System.Net;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.Verdicts;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Records.Log;

namespace GrainVision.Service.Log;

/// <summary>The page of an audit pack that a person reads: what happened, in the order it happened. Plain HTML without scripts.</summary>
internal static class AuditPage
{
    public static string Write(AuditSubject subject, IReadOnlyList<LogEntry> entries, LogEntry head, bool withOriginals, DateTimeOffset made)
    {
        var s = new StringBuilder();
        s.Append("<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>").Append(Html(subject.Name)).Append("</title>");
        s.Append("<style>body{font:16px/1.5 sans-serif;max-width:60em;margin:1em auto;padding:0 1em}section{border-top:2px solid #444;margin-top:1em}img{max-width:100%}b.accept{background:#cfc}b.hold{background:#fe9}b.reject{background:#fbb}b{padding:0 .3em}code{overflow-wrap:anywhere}</style>");
        s.Append(CultureInfo.InvariantCulture, $"<h1>Audit pack: {Html(subject.Name)}</h1><p>Made {made.UtcDateTime:yyyy-MM-dd HH:mm} UTC from {entries.Count} entries; the log ends at entry {head.Number}. ");
        s.Append(VerdictCautions.Short).Append(" How to verify: <a href=\"VERIFY.txt\">VERIFY.txt</a>.</p>");
        if (!withOriginals)
            s.Append("<p>Photos as received are left out: the caller who fetched this pack has no right to them.</p>");
        Standing(s, subject.Pieces);
        foreach (var entry in entries)
            Entry(s, entry);
        return s.Append("</html>").ToString();
    }

    /// <summary>How the pieces stand when the pack is made; the entries below are what proves it.</summary>
    private static void Standing(StringBuilder s, IReadOnlyList<PieceReport> pieces)
    {
        if (pieces.Count == 0)
            return;
        s.Append("<h2>As it stands</h2><table border=\"1\" cellpadding=\"4\"><tr><th>Piece<th>Use<th>Stands<th>By the rule now<th>On record<th>Override</tr>");
        foreach (var (piece, standing) in pieces.SelectMany(p => p.Standing.Select(u => (p.Piece.Number, u))))
        {
            var decision = standing.Decision is { } d ? $"{Word(d.Verdict)} by {d.Person}, {d.AtUtc.UtcDateTime.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture)} UTC{(d.Reason is { } why ? $": {why}" : "")}" : "nobody decided";
            s.Append(CultureInfo.InvariantCulture, $"<tr><td>{piece}<td>{Html(standing.Use)}<td><b class=\"{Word(standing.Outcome)}\">{Word(standing.Outcome).ToUpperInvariant()}</b><td>{Word(standing.ByRule)}<td>{Html(decision)}<td>{(standing.IsOverridden ? "yes" : "no")}</tr>");
        }

        s.Append("</table>");
    }

    private static string Word(VerdictOutcome outcome) => outcome switch { VerdictOutcome.Accept => "accept", VerdictOutcome.Hold => "hold", _ => "reject" };

    private static void Entry(StringBuilder s, LogEntry entry)
    {
        using var document = JsonDocument.Parse(entry.Content);
        var content = document.RootElement;
        var body = content.GetProperty("body");
        s.Append(CultureInfo.InvariantCulture, $"<section id=\"e{entry.Number}\"><h2>{entry.Number}. {Html(Heading(content.GetProperty("kind").GetString()!))}</h2>");
        s.Append(CultureInfo.InvariantCulture, $"<p>{Text(content, "at")}, by {Text(content, "who")}{(content.TryGetProperty("why", out _) ? $": {Text(content, "why").TrimEnd('.')}" : "")}. ");
        if (content.TryGetProperty("versions", out var versions) && versions.EnumerateObject().Any())
            s.Append("Versions: ").Append(Html(string.Join(", ", versions.EnumerateObject().Select(v => $"{v.Name} {v.Value}")))).Append('.');
        s.Append("</p>");
        Body(s, body);
        if (content.TryGetProperty("pictureSha256", out var picture))
            s.Append(CultureInfo.InvariantCulture, $"<p><img loading=\"lazy\" src=\"pictures/{Html(picture.GetString()!)}.jpg\" alt=\"Annotated picture of entry {entry.Number}\"></p>");
        s.Append(CultureInfo.InvariantCulture, $"<p><small>Hash <code>{entry.Sha256}</code>{(content.TryGetProperty("photoSha256", out var photo) ? $", photo <code>{Html(photo.GetString()!)}</code>" : "")}</small></p></section>");
    }

    private static void Body(StringBuilder s, JsonElement body)
    {
        if (body.ValueKind != JsonValueKind.Object)
            return;
        if (body.TryGetProperty("place", out var place))
            s.Append(CultureInfo.InvariantCulture, $"<p>{Text(body, "fileName")}: piece {Text(place, "pieceNumber")}, {Text(place, "surface")}, placed by {Text(body, "by")}.</p>");
        if (body.TryGetProperty("verdict", out var verdict) && verdict.ValueKind == JsonValueKind.String)
        {
            var word = Html(verdict.GetString()!);
            s.Append(CultureInfo.InvariantCulture, $"<p><b class=\"{word}\">{word.ToUpperInvariant()}</b> for {Text(body, "use")}, decided by {Text(body, "decidedBy")} ({Text(body, "person")}); by the rule alone: {Text(body, "byRule")}.");
            if (body.TryGetProperty("override", out var overridden) && overridden.ValueKind == JsonValueKind.True)
                s.Append(" <strong>Override.</strong>");
            s.Append(CultureInfo.InvariantCulture, $"{(body.TryGetProperty("reason", out _) ? $" Reason given: {Text(body, "reason")}" : "")}</p>");
        }

        if (body.TryGetProperty("instrument", out _))
        {
            var found = string.Join(' ', new[] { "quantity", "value", "unit", "is", "limit", "answer", "species" }.Select(m => Plain(body, m)).Where(t => t.Length > 0));
            s.Append(CultureInfo.InvariantCulture, $"<p><strong>{Html(found)}</strong>{(body.TryGetProperty("surface", out _) ? $" on {Text(body, "surface")}" : "")}, found by {Text(body, "by")} with {Text(body, "instrument")}{(body.TryGetProperty("corrects", out _) ? $"; corrects entry {Text(body, "corrects")}" : "")}.</p>");
        }

        if (body.TryGetProperty("reasons", out var reasons) && reasons.ValueKind == JsonValueKind.Array)
            List(s, "Reasons", reasons.EnumerateArray().Select(r => r.TryGetProperty("reason", out var inner) ? inner : r).Select(r => $"{Plain(r, "outcome")}: {Plain(r, "text")}"));
        if (body.TryGetProperty("handChecks", out var checks) && checks.ValueKind == JsonValueKind.Array)
            List(s, "Still to do by hand", checks.EnumerateArray().Select(c => c.ToString()));
        s.Append("<details><summary>As recorded</summary><pre style=\"white-space:pre-wrap;overflow-wrap:anywhere\"><code>").Append(Html(body.GetRawText())).Append("</code></pre></details>");
    }

    private static void List(StringBuilder s, string title, IEnumerable<string> lines)
    {
        s.Append("<h3>").Append(title).Append("</h3><ul>");
        foreach (var line in lines)
            s.Append("<li>").Append(Html(line)).Append("</li>");
        s.Append("</ul>");
    }

    private static string Heading(string kind) => kind switch
    {
        LogKind.Measurement => "Photo measured",
        LogKind.Decision => "Decision",
        LogKind.Override => "Decision against the rule (override)",
        LogKind.HandMeasurement => "Found by hand",
        LogKind.RuleBookVersion => "Rule book in force",
        LogKind.CardAssignment => "Photo placed",
        LogKind.Delivery => "Delivery entered",
        LogKind.Upload => "Photos arrived",
        LogKind.PhotoState => "What came of a photo",
        LogKind.Inventory => "Rows of an older version",
        LogKind.Trial => "Trial: by hand and by photo",
        _ => kind,
    };

    private static string Plain(JsonElement of, string member) => of.ValueKind == JsonValueKind.Object && of.TryGetProperty(member, out var value) ? value.ToString() : "";

    private static string Text(JsonElement of, string member) => Html(Plain(of, member));

    private static string Html(string text) => WebUtility.HtmlEncode(text);
}
