using System.Runtime.CompilerServices;

[assembly: InternalsVisibleTo("SweepRig.Rigs.Tests")]
[assembly: InternalsVisibleTo("SweepRig.EndToEnd.Tests")]
[assembly: InternalsVisibleTo("SweepRig.Benchmarks")]
