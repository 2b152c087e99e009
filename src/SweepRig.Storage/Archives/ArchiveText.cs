namespace SweepRig.Storage.Archives;

/// <summary>What stands in an archive for whoever opens it without this program.</summary>
internal static class ArchiveText
{
    public const string FileName = "README.txt";

    public const string Text =
        """
        This is an archive of SweepRig: measured runs of receiving tubes, with all that is needed to judge them anew.

        manifest.json        format, program version, time; every other part with its length and SHA-256
        runs/ID.json         a run: tube, plan, passes, calibration in force, rig, permit, trips, gaps
        runs/ID.codes.csv    its samples as the rig sent them, RFC 4180, whole numbers; block, pass, frame and point say where
                             a sample belongs; codes are of the converters; flags: 1 settled, 2 clipped, 4 measured again
        calibrations/N.json  calibrations of the rigs in these runs
        stock.json           lots, tubes and the history of each
        types/N.json         documents of the tube types

        Volts come from a code by the scale of its channel in the run (header.rig.channels): atZeroVolts + code / 2^fractionBits
        / (2^bits - 1) * (atFullScaleVolts - atZeroVolts), and then by the correction of the calibration.

        """;
}
