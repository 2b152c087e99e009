using System.Runtime.CompilerServices;

[assembly: InternalsVisibleTo("SweepRig.Rigs.Tests")]
