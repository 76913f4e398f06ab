namespace GrainVision.Grading.Cards;

/// <summary>
/// The marker patterns of card and check targets: the first of OpenCV's predefined dictionary of fifty 4x4-bit markers (DICT_4X4_50), as data,
/// so that drawing a card needs no OpenCV. Any two differ in at least 4 bits: one wrong bit is mended and none is confused.
/// </summary>
/// <remarks>
/// Source: OpenCV 4.13, modules/objdetect, predefined ArUco dictionaries (Apache-2.0), written out by its own generateImageMarker; a test of Measuring
/// holds the table against the OpenCV in use.
/// </remarks>
public static class CardMarkers
{
    /// <summary>The 16 bits of each marker by id, row by row from the lowest bit; a set bit is a black cell.</summary>
    private static readonly ushort[] Table =
    [
        0xb352, 0xa60f, 0x4b33, 0x9d66, 0x86d5, 0x4c61, 0x8b86, 0xb0dc, 0xa480, 0x950c, 0x7660, 0x1a77, 0x128f, 0x0fab, 0x72db, 0x839b, // 0-15: the card
        0x599d, 0xff99, 0x85c9, 0x0a91, 0x2e9e, 0x2bf2, // 16-21: check targets
    ];

    /// <summary>Markers in use, ids 0 to this less 1.</summary>
    public static int Count => Table.Length;

    /// <summary>The 16 bits of marker <paramref name="id"/>, row by row; a set bit is a black cell.</summary>
    public static int Bits(int id) => Table[id];

    /// <summary>Black cells of marker <paramref name="id"/> by row and column, border included.</summary>
    public static bool[,] BlackCells(int id) => Cells(Table[id]);

    /// <summary>Black cells of 16 bits by row and column, with a black border round them.</summary>
    public static bool[,] Cells(int bits)
    {
        const int last = CardDesign.MarkerCells - 1;
        var cells = new bool[CardDesign.MarkerCells, CardDesign.MarkerCells];
        for (var y = 0; y <= last; y++)
        {
            for (var x = 0; x <= last; x++)
                cells[y, x] = !(x is > 0 and < last && y is > 0 and < last) || ((bits >> (((y - 1) * 4) + x - 1)) & 1) != 0;
        }

        return cells;
    }
}
