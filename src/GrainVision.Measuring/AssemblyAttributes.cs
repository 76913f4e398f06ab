using System.Runtime.CompilerServices;

[assembly: InternalsVisibleTo("GrainVision.Measuring.Tests")]
[assembly: InternalsVisibleTo("GrainVision.Accuracy")]
[assembly: InternalsVisibleTo("GrainVision.Benchmarks")]
[assembly: InternalsVisibleTo("GrainVision.DecisionFit")]
