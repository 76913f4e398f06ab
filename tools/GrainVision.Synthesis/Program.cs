using System.Diagnostics;
using GrainVision.Synthesis;

return SynthesisCommand.Run(args, Console.Out, Console.Error, Stopwatch.StartNew());
