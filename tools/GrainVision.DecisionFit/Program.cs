using System.Diagnostics;
using GrainVision.DecisionFit;

return FitCommand.Run(args, Console.Out, Stopwatch.StartNew());
