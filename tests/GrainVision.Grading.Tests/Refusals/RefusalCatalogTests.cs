using System.Text.Json;
using GrainVision.Grading.Refusals;

namespace GrainVision.Grading.Tests.Refusals;

public class RefusalCatalogTests
{
    [Fact]
    public void Catalogue_EveryEntry_IsNamedByItsCodeAndListedOnce()
    {
        var entries = typeof(RefusalCatalog).GetProperties().Where(p => p.PropertyType == typeof(RefusalKind)).ToDictionary(p => p.Name, p => (RefusalKind)p.GetValue(null)!);
        Assert.Equal(entries.Count, RefusalCatalog.All.Count);
        Assert.All(entries, e => Assert.Equal(JsonNamingPolicy.KebabCaseLower.ConvertName(e.Key), e.Value.Code));
        Assert.All(entries.Values, k => Assert.Same(k, RefusalCatalog.Find(k.Code)));
    }

    [Fact]
    public void Catalogue_EveryEntry_SaysWhatToDoAndWhere() => Assert.All(RefusalCatalog.All, k =>
    {
        Assert.EndsWith(".", k.Advice, StringComparison.Ordinal);
        Assert.NotEqual(RefusalPlaces.None, k.Places);
        Assert.True(Enum.IsDefined(k.Fate));
    });

    [Fact]
    public void Refusal_AdviceOfTheOccasion_StandsBeforeThatOfTheCatalogue()
    {
        Assert.Equal(RefusalCatalog.Busy.Advice, RefusalCatalog.Busy.Because("Full.").Advice);
        Assert.Equal("Come on Monday.", RefusalCatalog.Busy.Because("Full.", "Come on Monday.").Advice);
    }
}
