using System.Runtime.CompilerServices;

[assembly: InternalsVisibleTo("GrainVision.Measuring.Tests")]
