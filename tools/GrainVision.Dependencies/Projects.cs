namespace GrainVision.Dependencies;

/// <summary>Our own assemblies among the files of a program.</summary>
public static class Projects
{
    /// <summary>True for the assemblies of the projects under src.</summary>
    public static bool IsOurs(string path)
    {
        var name = Path.GetFileNameWithoutExtension(path);
        return name == "grainvision" || (name.StartsWith("GrainVision.", StringComparison.Ordinal) && name != typeof(Projects).Assembly.GetName().Name && !name.EndsWith(".Tests", StringComparison.Ordinal));
    }
}
