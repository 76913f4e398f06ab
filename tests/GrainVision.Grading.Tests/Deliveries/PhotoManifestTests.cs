using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;

namespace GrainVision.Grading.Tests.Deliveries;

/// <summary>CSV by RFC 4180: quoted values, doubled quotes, line ends of both kinds.</summary>
public class PhotoManifestTests
{
    [Fact]
    public void Read_EveryColumn_GivesThePlaces()
    {
        var manifest = Read("file,piece,surface,stationMm,whole\r\nIMG_1.jpg,12,endA,,\r\n\"a,\"\"b\"\".jpg\",3,face2,600.5,no\nwide.jpg,3,Face 1,,yes\n");
        Assert.Equal(new PhotoPlace(12, Surface.EndA), manifest.Find("IMG_1.jpg"));
        Assert.Equal(new PhotoPlace(3, Surface.Face2) { StationMm = 600.5 }, manifest.Find("a,\"b\".jpg"));
        Assert.Equal(new PhotoPlace(3, Surface.Face1) { WholeFace = true }, manifest.Find("wide.jpg"));
        Assert.Null(manifest.Find("other.jpg"));
        Assert.Equal(3, manifest.Files.Count);
    }

    [Fact]
    public void Find_FileInAFolder_IsFoundByPathOrName()
    {
        var manifest = Read("file;piece;surface\nday1/IMG_1.jpg;1;endA\nIMG_2.jpg;2;endB\n");
        Assert.Equal(1, manifest.Find("day1\\img_1.JPG")!.PieceNumber);
        Assert.Null(manifest.Find("day2/IMG_1.jpg"));
        Assert.Equal(2, manifest.Find("day2/IMG_2.jpg")!.PieceNumber);
    }

    [Theory]
    [InlineData("", "line 1")]
    [InlineData("file,piece\na.jpg,1\n", "'surface'")]
    [InlineData("file,piece,surface,colour\na.jpg,1,endA,red\n", "'colour'")]
    [InlineData("file,piece,surface\na.jpg,1,endA\nb.jpg,1\n", "line 3")]
    [InlineData("file,piece,surface\na.jpg,zero,endA\n", "'zero'")]
    [InlineData("file,piece,surface\na.jpg,0,endA\n", "'0'")]
    [InlineData("file,piece,surface\na.jpg,1,endC\n", "'endC'")]
    [InlineData("file,piece,surface\na.jpg,1,2\n", "'2'")]
    [InlineData("file,piece,surface\na.jpg,1,\n", "''")]
    [InlineData("file,piece,surface,stationMm\na.jpg,1,face1,-4\n", "'-4'")]
    [InlineData("file,piece,surface,stationMm\na.jpg,1,face1,NaN\n", "'NaN'")]
    [InlineData("file,piece,surface,whole\na.jpg,1,face1,maybe\n", "'maybe'")]
    [InlineData("file,piece,surface\na.jpg,1,endA\nA.JPG,2,endA\n", "line 3")]
    [InlineData("file,piece,surface\n,1,endA\n", "no file")]
    [InlineData("file,piece,surface\n\"a.jpg,1,endA\n", "quoted")]
    public void Read_WrongManifest_SaysWhereAndWhat(string csv, string says)
    {
        var refusal = PhotoManifest.Read(csv).Refusal!;
        Assert.Equal("manifest-unreadable", refusal.Code);
        Assert.Contains(says, refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_TooManyRows_IsRefused()
    {
        var rows = string.Concat(Enumerable.Range(0, PhotoManifest.MostRows + 1).Select(i => $"{i}.jpg,1,endA\n"));
        Assert.NotNull(PhotoManifest.Read("file,piece,surface\n" + rows).Refusal);
        Assert.Equal(PhotoManifest.MostRows, Read("file,piece,surface\n" + rows[..rows.TrimEnd('\n').LastIndexOf('\n')] + "\n").Files.Count);
    }

    private static PhotoManifest Read(string csv) => PhotoManifest.Read(csv).Found ?? throw new InvalidOperationException(PhotoManifest.Read(csv).Refusal!.Message);
}
