using System.Net;
using System.Text;

namespace GrainVision.Accuracy;

/// <summary>The ten worst cases of each quantity with their annotated pictures, as one page without outside files.</summary>
internal static class WorstCases
{
    private const int PerRow = 10;

    public static string Html(Score score)
    {
        var page = new StringBuilder("<!doctype html><html lang=en><meta charset=utf-8><title>Worst cases</title><style>body{font:16px sans-serif}img{max-width:30em;display:block}figure{display:inline-block;vertical-align:top;max-width:30em}</style><h1>Worst cases</h1>");
        foreach (var row in score.Rows.Where(r => r.Count > 0))
        {
            page.Append($"<h2>{WebUtility.HtmlEncode(row.Name)}</h2>");
            foreach (var (error, trial) in row.Worst(PerRow))
            {
                page.Append($"<figure><img alt=\"seed {trial.Truth.Seed}\" src=\"data:image/jpeg;base64,{Convert.ToBase64String(trial.Picture!)}\">");
                page.Append($"<figcaption>error {error:0.00}: {WebUtility.HtmlEncode(Report.Line(trial))}</figcaption></figure>");
            }
        }

        return page.Append("</html>").ToString();
    }
}
