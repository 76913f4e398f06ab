using GrainVision.Dependencies;

// Prints which folder of each project under src uses which other folders of it, and the rings among them. 1: there is a ring.
var rings = 0;
foreach (var file in Directory.EnumerateFiles(AppContext.BaseDirectory, "*.dll").Where(Projects.IsOurs).Order(StringComparer.Ordinal))
{
    var graph = FolderGraph.Read(file);
    Console.WriteLine(graph.Assembly);
    foreach (var (folder, uses) in graph.Uses)
        Console.WriteLine($"  {folder,-20} {string.Join(", ", uses)}");
    foreach (var ring in graph.Cycles())
    {
        rings++;
        Console.WriteLine($"  RING: {string.Join(" <-> ", ring)}");
    }
}

return rings == 0 ? 0 : 1;
