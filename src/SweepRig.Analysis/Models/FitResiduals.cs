using SweepRig.Analysis.Fitting;

namespace SweepRig.Analysis.Models;

/// <summary>What a fit leaves over, told pass by pass and channel by channel, and where it was seen to hold.</summary>
internal static class FitResiduals
{
    public static IReadOnlyList<PassResiduals> Of(TubeProblem problem, RobustFit robust)
    {
        // Wild readings count as 0 in the fit; shown they are as far away as they are.
        var all = new double[problem.ResidualCount];
        problem.Evaluate(robust.Fit.Parameters, all, []);
        var wild = robust.Wild.ToHashSet();
        List<PassResiduals> result = [];
        var row = 0;
        foreach (var pass in problem.Passes)
            foreach (var channel in pass.Channels)
            {
                var first = row;
                result.Add(new(
                    pass.Run.Name, pass.Curve.Pass.Index, channel.Place, pass.Drive, all[row..(row + pass.Count)], channel.Scatter,
                    [.. Enumerable.Range(first, pass.Count).Select(wild.Contains)]));
                row += pass.Count;
            }
        return result;
    }

    public static ValidRange Range(TubeProblem problem)
    {
        double lowDrive = double.PositiveInfinity, highDrive = double.NegativeInfinity, lowRail = lowDrive, highRail = highDrive, lowPlate = lowDrive, cathode = 0;
        foreach (var pass in problem.Passes)
        {
            var sweep = pass.Sweep;
            for (var i = 0; i < pass.Count; i++)
            {
                (lowDrive, highDrive) = (Math.Min(lowDrive, pass.Drive[i]), Math.Max(highDrive, pass.Drive[i]));
                (lowRail, highRail) = (Math.Min(lowRail, pass.Rail[i]), Math.Max(highRail, pass.Rail[i]));
                lowPlate = Math.Min(lowPlate, sweep.Plate[i]);
                var grid = (sweep.Drive[i] - sweep.Grid[i]) / sweep.GridOhms;
                var plate = (sweep.Rail[i] - sweep.Plate[i]) / sweep.PlateOhms;
                var screen = pass.Channels.Count > 2 && sweep.ScreenOhms > 0 ? (sweep.Rail[i] - sweep.Screen[i]) / sweep.ScreenOhms : 0;
                cathode = Math.Max(cathode, grid + plate + screen);
            }
        }
        return new(lowDrive, highDrive, lowRail, highRail, lowPlate, cathode);
    }
}
