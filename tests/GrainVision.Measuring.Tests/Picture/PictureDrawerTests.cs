using GrainVision.Measuring.Picture;

namespace GrainVision.Measuring.Tests.Picture;

public class PictureDrawerTests
{
    public static TheoryData<string> Names => [.. Samples.Names];

    [Theory]
    [MemberData(nameof(Names))]
    public void Draw_EveryKind_Look(string name)
    {
        var (photo, m) = Samples.Make(name);
        using (photo)
        {
            var drawn = PictureDrawer.Draw(photo, m, PictureFormat.Png, CancellationToken.None);
            Directory.CreateDirectory("/tmp/picture-look");
            File.WriteAllBytes($"/tmp/picture-look/{name}.png", drawn.Bytes);
            File.WriteAllText($"/tmp/picture-look/{name}.txt", drawn.AltText);
        }
    }
}
