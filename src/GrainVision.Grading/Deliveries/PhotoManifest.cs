using System.Globalization;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Refusals;

namespace GrainVision.Grading.Deliveries;

/// <summary>
/// A table that says where photos belong: CSV (RFC 4180) with the header <c>file,piece,surface,stationMm,whole</c>, the last two optional.
/// <c>surface</c> is endA, endB or face1 to face4; <c>whole</c> is yes, no or empty. Commas, semicolons or tabs separate.
/// </summary>
public sealed class PhotoManifest
{
    /// <summary>10,000 rows: five times the photos of the largest upload.</summary>
    public const int MostRows = 10_000;

    private static readonly string[] Columns = ["file", "piece", "surface", "stationmm", "whole"];

    private readonly Dictionary<string, PhotoPlace> _places = new(StringComparer.OrdinalIgnoreCase);

    private PhotoManifest()
    {
    }

    /// <summary>File names in it, as written.</summary>
    public IReadOnlyCollection<string> Files => _places.Keys;

    /// <summary>The place of a file: by its whole path, else by the name after the last slash. Capitals do not matter.</summary>
    public PhotoPlace? Find(string fileName)
    {
        ArgumentNullException.ThrowIfNull(fileName);
        var path = fileName.Replace('\\', '/');
        return _places.GetValueOrDefault(path) ?? _places.GetValueOrDefault(path[(path.LastIndexOf('/') + 1)..]);
    }

    /// <summary>Reads a manifest; the refusal names the line.</summary>
    public static Outcome<PhotoManifest> Read(string csv)
    {
        ArgumentNullException.ThrowIfNull(csv);
        if (CsvRows.Read(csv, MostRows + 1) is not { } rows)
            return Bad(1, "a quoted value does not end");
        if (rows.Count == 0)
            return Bad(1, "it is empty");
        if (rows.Count > MostRows + 1)
            return Bad(MostRows + 2, $"it has more than {MostRows} rows");
        var header = rows[0].Values.Select(h => h.Trim().ToLowerInvariant()).ToList();
        if (header.Find(h => !Columns.Contains(h)) is { } odd)
            return Bad(1, $"'{odd}' is not a column");
        if (Columns.Take(3).FirstOrDefault(c => !header.Contains(c)) is { } missing)
            return Bad(1, $"the column '{missing}' is missing");
        if (header.Distinct().Count() != header.Count)
            return Bad(1, "a column is there twice");

        var manifest = new PhotoManifest();
        foreach (var (line, values) in rows.Skip(1))
        {
            if (values.Count != header.Count)
                return Bad(line, $"{values.Count} values under {header.Count} columns");
            string Of(string column) => header.IndexOf(column) is >= 0 and var i ? values[i].Trim() : "";
            if (Place(Of("piece"), Of("surface"), Of("stationmm"), Of("whole"), out var wrong) is not { } place)
                return Bad(line, wrong);
            var file = Of("file").Replace('\\', '/');
            if (file.Length == 0)
                return Bad(line, "no file is named");
            if (!manifest._places.TryAdd(file, place))
                return Bad(line, $"'{file}' is there twice");
        }

        return manifest;
    }

    private static PhotoPlace? Place(string piece, string surface, string station, string whole, out string wrong)
    {
        wrong = "";
        if (!int.TryParse(piece, NumberStyles.None, CultureInfo.InvariantCulture, out var number) || number < 1)
            wrong = $"'{piece}' is not a piece number";
        else if (!Enum.TryParse<Surface>(surface.Replace(" ", "", StringComparison.Ordinal), ignoreCase: true, out var shown) || !Enum.IsDefined(shown) || char.IsAsciiDigit(surface[0]))
            wrong = $"'{surface}' is not endA, endB or face1 to face4";
        else if (!TryStation(station, out var stationMm))
            wrong = $"'{station}' is not a station in mm";
        else if (whole.ToLowerInvariant() is not ("" or "no" or "false" or "0" or "yes" or "true" or "1"))
            wrong = $"'{whole}' is not yes or no";
        else
            return new PhotoPlace(number, shown) { StationMm = stationMm, WholeFace = whole.ToLowerInvariant() is "yes" or "true" or "1" };
        return null;
    }

    private static bool TryStation(string text, out double? stationMm)
    {
        stationMm = null;
        if (text.Length == 0)
            return true;
        if (!double.TryParse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var mm) || mm is not (>= 0 and <= 100_000))
            return false;
        stationMm = mm;
        return true;
    }

    private static Refusal Bad(int line, string why) => RefusalCatalog.ManifestUnreadable.Because($"The manifest cannot be read, line {line}: {why}.");
}
