using GrainVision.Records.Log;

namespace GrainVision.Records.Tests.Log;

public class CheckpointTests
{
    private static readonly Checkpoint Some = new(42, new string('c', 64), "2026-07-04T12:00:00.000Z");

    [Fact]
    public void Signed_ByTheShop_IsKnownByItsPublicKey()
    {
        var (secret, open) = SignedCheckpoint.NewKey();
        var signed = SignedCheckpoint.Read(SignedCheckpoint.Sign(Some, secret).Write())!;
        Assert.Equal(Some, signed.Checkpoint);
        Assert.True(signed.IsSignedBy(open));
    }

    [Fact]
    public void Signed_AndChanged_IsNot()
    {
        var (secret, open) = SignedCheckpoint.NewKey();
        var signed = SignedCheckpoint.Sign(Some, secret);
        Assert.False((signed with { Checkpoint = Some with { Number = 41 } }).IsSignedBy(open));
        Assert.False((signed with { Checkpoint = Some with { At = "2026-07-05T12:00:00.000Z" } }).IsSignedBy(open));
        Assert.False((signed with { Signature = "AAAA" }).IsSignedBy(open));
        Assert.False((signed with { Signature = "no base-64" }).IsSignedBy(open));
        Assert.False(signed.IsSignedBy(SignedCheckpoint.NewKey().PublicPem));
    }

    [Theory]
    [InlineData("{}")]
    [InlineData("null")]
    [InlineData("not JSON")]
    [InlineData("""{"checkpoint":{"number":0,"sha256":"a","at":"b"},"signature":"c","keySha256":"d"}""")]
    public void File_ThatIsNoCheckpoint_IsSeen(string text) => Assert.Null(SignedCheckpoint.Read(text));
}
