using System.Globalization;
using System.Text.RegularExpressions;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;

namespace GrainVision.Grading.Deliveries;

/// <summary>
/// Reads where a photo belongs from its file name: piece, then end or face, then for a face its station in mm or the word whole.
/// <c>12-endA.jpg</c>, <c>piece 12 end b.jpg</c>, <c>p12_face3_0600.jpg</c> (station 600 mm), <c>12-face1-whole.jpg</c>, <c>12_face2_600mm.jpg</c>.
/// </summary>
/// <remarks>
/// Capitals do not matter; blanks, hyphens and underscores separate. A station without "mm" has three to five digits, so that a plain
/// second photo (<c>12-face3-2.jpg</c>) is not taken for one: such a name says nothing, and a person decides. Of an end one or two digits
/// may follow, a serial number. A name that says anything else beside says nothing.
/// </remarks>
public static partial class PhotoName
{
    /// <summary>The place that a file name tells, or null where it follows none of the patterns.</summary>
    /// <param name="fileName">With or without folders before it; either slash separates.</param>
    public static PhotoPlace? Read(string fileName)
    {
        ArgumentNullException.ThrowIfNull(fileName);
        var name = fileName[(fileName.LastIndexOfAny(['/', '\\']) + 1)..];
        var dot = name.LastIndexOf('.');
        var match = Pattern().Match(dot > 0 ? name[..dot] : name);
        if (!match.Success || Number(match, "piece") is not (>= 1 and var piece))
            return null;
        if (match.Groups["end"] is { Success: true } end)
            return new PhotoPlace(piece, end.ValueSpan[0] is 'a' or 'A' ? Surface.EndA : Surface.EndB);
        return new PhotoPlace(piece, Surface.Face1 + (match.Groups["face"].ValueSpan[0] - '1'))
        {
            StationMm = Number(match, "station") ?? Number(match, "mm"),
            WholeFace = match.Groups["whole"].Success,
        };
    }

    private static int? Number(Match match, string group) =>
        match.Groups[group] is { Success: true } digits ? int.Parse(digits.ValueSpan, NumberStyles.None, CultureInfo.InvariantCulture) : null;

    [GeneratedRegex(
        @"^\s*(?:p|piece)?[\s_-]*(?<piece>[0-9]{1,4})[\s_-]*(?:end[\s_-]*(?<end>[ab])(?:[\s_-]+[0-9]{1,2})?|face[\s_-]*(?<face>[1-4])(?:[\s_-]+(?:(?<whole>whole)|(?<mm>[0-9]{1,5})[\s_-]*mm|(?<station>[0-9]{3,5})))?)\s*(?:\([0-9]{1,2}\))?\s*$",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Pattern();
}
