using System.Diagnostics;
using GrainVision.Synthesis;

return DemoCommand.Knows(args)
    ? DemoCommand.Run(args, Console.Out, Console.Error, Stopwatch.StartNew())
    : SynthesisCommand.Run(args, Console.Out, Console.Error, Stopwatch.StartNew());
