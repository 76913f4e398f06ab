using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;

namespace GrainVision.Grading.Tests.Deliveries;

/// <summary>The patterns are our own, as documented on <see cref="PhotoName"/>.</summary>
public class PhotoNameTests
{
    [Theory]
    [InlineData("12-endA.jpg", 12, Surface.EndA)]
    [InlineData("12endb.JPG", 12, Surface.EndB)]
    [InlineData("piece 12 end b.jpeg", 12, Surface.EndB)]
    [InlineData("P007_END_A.png", 7, Surface.EndA)]
    [InlineData("12-endA-2.jpg", 12, Surface.EndA)]
    [InlineData("12-endA (1).jpg", 12, Surface.EndA)]
    [InlineData("unloaded/tuesday/3-face4.jpg", 3, Surface.Face4)]
    [InlineData("unloaded\\3-face4.jpg", 3, Surface.Face4)]
    public void Read_NameOfAnEndOrFace_GivesItsPlace(string name, int piece, Surface surface) =>
        Assert.Equal(new PhotoPlace(piece, surface), PhotoName.Read(name));

    [Theory]
    [InlineData("p12_face3_0600.jpg", 600.0, false)]
    [InlineData("12-face3-1800.jpg", 1800.0, false)]
    [InlineData("12_face3_50mm.jpg", 50.0, false)]
    [InlineData("12 face 3 600 mm.jpg", 600.0, false)]
    [InlineData("12-face3-whole.jpg", null, true)]
    public void Read_NameOfAFaceWithItsStretch_GivesIt(string name, double? station, bool whole) =>
        Assert.Equal(new PhotoPlace(12, Surface.Face3) { StationMm = station, WholeFace = whole }, PhotoName.Read(name));

    [Theory]
    [InlineData("IMG_20261125_120000.jpg")]
    [InlineData("12-face3-2.jpg")] // the second photo, or 2 mm from the end?
    [InlineData("12-face5.jpg")]
    [InlineData("12-endC.jpg")]
    [InlineData("0-endA.jpg")]
    [InlineData("endA.jpg")]
    [InlineData("order 4 piece 12-endA.jpg")]
    [InlineData("12-endA-600mm.jpg")]
    [InlineData("12-face3-0600-bad light.jpg")]
    [InlineData("123456-endA.jpg")]
    [InlineData("١٢-endA.jpg")] // digits of another script
    [InlineData(".jpg")]
    [InlineData("")]
    public void Read_AnyOtherName_SaysNothing(string name) => Assert.Null(PhotoName.Read(name));
}
