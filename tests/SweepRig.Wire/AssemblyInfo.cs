using System.Runtime.CompilerServices;

[assembly: InternalsVisibleTo("SweepRig.Sweeps.Tests")]
