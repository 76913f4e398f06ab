using OpenCvSharp;
using OpenCvSharp.Aruco;

namespace GrainVision.Measuring.Scale.Card;

/// <summary>The marker patterns of the card.</summary>
internal static class CardMarkers
{
    /// <summary>The 50-marker dictionary: any two differ in at least 4 bits, so one wrong bit is mended and none is confused.</summary>
    public const PredefinedDictionaryType DictionaryName = PredefinedDictionaryType.Dict4X4_50;

    private static readonly Lazy<bool[][,]> Patterns = new(Read);

    /// <summary>Black cells of marker <paramref name="id"/> by row and column, border included.</summary>
    public static bool[,] BlackCells(int id) => Patterns.Value[id];

    /// <summary>The 16 bits of marker <paramref name="id"/>, row by row; a set bit is a black cell.</summary>
    public static int Bits(int id)
    {
        var cells = Patterns.Value[id];
        var bits = 0;
        for (var i = 0; i < 16; i++)
            bits |= (cells[(i / 4) + 1, (i % 4) + 1] ? 1 : 0) << i;
        return bits;
    }

    private static bool[][,] Read()
    {
        using var dictionary = CvAruco.GetPredefinedDictionary(DictionaryName);
        var all = new bool[CheckTargetDesign.FirstMarkerId + CheckTargetDesign.Listed.Count][,];
        for (var id = 0; id < all.Length; id++)
        {
            using var picture = new Mat();
            dictionary.GenerateImageMarker(id, CardDesign.MarkerCells, picture, 1);
            all[id] = new bool[CardDesign.MarkerCells, CardDesign.MarkerCells];
            for (var y = 0; y < CardDesign.MarkerCells; y++)
            {
                for (var x = 0; x < CardDesign.MarkerCells; x++)
                    all[id][y, x] = picture.At<byte>(y, x) < 128;
            }
        }

        return all;
    }
}
