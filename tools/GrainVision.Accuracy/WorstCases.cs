using System.Net;
using System.Text;
using SkiaSharp;

namespace GrainVision.Accuracy;

/// <summary>The ten worst cases of each quantity with their annotated pictures, as one page without outside files.</summary>
internal static class WorstCases
{
    private const int PerRow = 10;

    /// <summary>640 px: the numbers on a picture are still read.</summary>
    private const int PicturePx = 640;

    public static string Html(Score score)
    {
        var page = new StringBuilder("<!doctype html><html lang=en><meta charset=utf-8><meta name=viewport content=\"width=device-width\"><title>Worst cases</title><style>body{font:16px sans-serif}img{max-width:30em;display:block}figure{display:inline-block;vertical-align:top;max-width:30em}</style><h1>Worst cases</h1>");
        foreach (var row in score.Quantities.Where(r => r.Count > 0))
        {
            page.Append($"<h2>{WebUtility.HtmlEncode(row.Name)}</h2>");
            foreach (var (error, trial) in row.Worst(PerRow).Where(w => w.Trial.Picture is not null))
            {
                page.Append($"<figure><img alt=\"seed {trial.Truth.Seed}\" src=\"data:image/jpeg;base64,{Convert.ToBase64String(Smaller(trial.Picture!))}\">");
                page.Append($"<figcaption>error {error:0.00}: {WebUtility.HtmlEncode(Report.Line(trial))}</figcaption></figure>");
            }
        }

        return page.Append("</html>").ToString();
    }

    /// <summary>A hundred full pictures would be hundreds of megabytes: shrunk to what a page shows.</summary>
    private static byte[] Smaller(byte[] picture)
    {
        using var bitmap = SKBitmap.Decode(picture);
        var height = (int)Math.Round((double)PicturePx * bitmap.Height / bitmap.Width);
        using var small = bitmap.Resize(new SKImageInfo(PicturePx, height), new SKSamplingOptions(SKCubicResampler.Mitchell));
        using var image = SKImage.FromBitmap(small);
        // The hand checks and cautions below the numbers are the same on every picture.
        using var top = image.Subset(new SKRectI(0, 0, PicturePx, Math.Min(height, PicturePx * 8 / 5)));
        using var data = top.Encode(SKEncodedImageFormat.Jpeg, 70);
        return data.ToArray();
    }
}
