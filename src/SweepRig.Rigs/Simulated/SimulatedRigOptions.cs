using SweepRig.Domain.Rigs;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Rigs.Simulated;

/// <summary>What the simulated rig is made of. Immutable; the defaults are a healthy rig with a pentode in socket 0.</summary>
public sealed record SimulatedRigOptions
{
    /// <summary>Seed of noise and converter errors; the same seed and the same messages give the same codes. Default 1.</summary>
    public int Seed { get; init; } = 1;

    /// <summary>Told at the handshake. Default follows from nothing but the seed.</summary>
    public string SerialNumber { get; init; } = "SIM-0001";

    /// <summary>The tube of each socket, null for an empty one; 1 to 8 sockets.</summary>
    public IReadOnlyList<TubeParameters?> Tubes { get; init; } = SimulatedRigDefaults.Tubes;

    /// <summary>What the tube of each socket does besides what its constants say; fewer than sockets, or null, for none of it. Default none.</summary>
    public IReadOnlyList<TubeBehaviour?> Behaviours { get; init; } = [];

    /// <summary>How many times faster than a real cathode (time constant 8 s) the heaters warm. Default 1, range 0.1 to 1000.</summary>
    public double HeaterSpeed { get; init; } = 1;

    /// <summary>
    /// False: the rig's clock follows the host's. True: while a program runs the rig's clock runs ahead as fast as the machine allows; lease and status
    /// go on by the host's time, everything else by rig time. Default false.
    /// </summary>
    public bool Unpaced { get; init; }

    /// <summary>
    /// The rig's clock never makes up for more than this at once: a machine too busy to run the simulator stalls the host's renewals of the lease too, and
    /// a real rig would not stall with them. What is skipped is lost from the rig's clock. Default 200 ms.
    /// </summary>
    public TimeSpan LongestCatchUp { get; init; } = TimeSpan.FromMilliseconds(200);

    public DriveScale Drive { get; init; } = new(12, new(-16), new(32));

    /// <summary>Range and resolution of each channel, in link order.</summary>
    public IReadOnlyList<ChannelScale> Channels { get; init; } = SimulatedRigDefaults.Channels;

    /// <summary>Limits in the firmware. The drive floor is the safe drive.</summary>
    public RigLimits HardLimits { get; init; } = SimulatedRigDefaults.HardLimits;

    /// <summary>How long a drive stays without renewal, 100 to 300. Default 300.</summary>
    public int LeaseMilliseconds { get; init; } = 300;

    /// <summary>Time of one conversion of one channel. Default 16.</summary>
    public int ConversionMicroseconds { get; init; } = 16;

    /// <summary>The rig's status is sent this often. Default 100.</summary>
    public int StatusMilliseconds { get; init; } = 100;

    /// <summary>Heaters left on without any message from a host go off after this. Default 60 s.</summary>
    public int HeaterTimeoutMilliseconds { get; init; } = 60_000;

    /// <summary>Largest relative gain error of drive and channels; each gets its own, uniform within. Default 1e-4, as after trimming; an untrimmed rig has some 1e-2.</summary>
    public double GainError { get; init; } = 1e-4;

    /// <summary>Largest offset error of drive and channels; each gets its own, uniform within. Unit: V. Default 0.5 mV.</summary>
    public double OffsetErrorVolts { get; init; } = 0.5e-3;

    /// <summary>Largest departure of each channel's converter from a straight line, an S of the third degree. Unit: V. Default 0, range -1 to 1 V.</summary>
    public double BowVolts { get; init; }

    /// <summary>Standard deviation of the noise of one conversion. Unit: V. Default 4 mV, which is 0.4 steps of 12 bits over 40.96 V.</summary>
    public double NoiseVolts { get; init; } = 4e-3;

    /// <summary>Amplitude of the hum that the heater puts on the effective grid voltage while it is on. Unit: V. Default 0.5 mV (illustrative).</summary>
    public double HumVolts { get; init; } = 0.5e-3;

    /// <summary>Mains frequency of the hum. Default 50.</summary>
    public double HumHertz { get; init; } = 50;

    public SettlingTimes Settling { get; init; } = new();

    /// <summary>Version of the link that it claims to speak; other than the real one only to test the host.</summary>
    public int ProtocolVersion { get; init; } = SimulatedRigDefaults.ProtocolVersion;

    /// <summary>What it says about its last start at the first handshake.</summary>
    public ResetReason FirstReset { get; init; } = ResetReason.PowerOn;

    /// <summary>Latest entries that the journal holds. Default 65,536.</summary>
    public int JournalEntries { get; init; } = RigJournal.UsualCapacity;

    /// <summary>True: the journal keeps every sample, for tests that compare them with what a host recorded. Default false, for they would fill the memory.</summary>
    public bool KeepSamples { get; init; }

    /// <summary>Faults present from the start; <c>SimulatedRig.Inject</c> replaces them while it runs.</summary>
    public IReadOnlyList<SimulatedFault> Faults { get; init; } = [];

    /// <exception cref="ArgumentException">A value is out of its range; all are named.</exception>
    public void ThrowIfBad()
    {
        List<string> faults = [];
        void Check(bool good, string name, object value, string allowed)
        {
            if (!good) faults.Add(FormattableString.Invariant($"{name} is {value}; allowed is {allowed}."));
        }
        Check(Tubes.Count is >= 1 and <= 8, nameof(Tubes), Tubes.Count, "1 to 8 sockets");
        Check(HeaterSpeed is >= 0.1 and <= 1000, nameof(HeaterSpeed), HeaterSpeed, "0.1 to 1000");
        Check(JournalEntries is >= 1 and <= 1_000_000, nameof(JournalEntries), JournalEntries, "1 to 1,000,000");
        Check(LeaseMilliseconds is >= 100 and <= 300, nameof(LeaseMilliseconds), LeaseMilliseconds, "100 to 300");
        Check(ConversionMicroseconds is >= 1 and <= 1000, nameof(ConversionMicroseconds), ConversionMicroseconds, "1 to 1000");
        Check(StatusMilliseconds is >= 10 and <= 1000, nameof(StatusMilliseconds), StatusMilliseconds, "10 to 1000");
        Check(GainError is >= 0 and <= 0.1, nameof(GainError), GainError, "0 to 0.1");
        Check(OffsetErrorVolts is >= 0 and <= 1, nameof(OffsetErrorVolts), OffsetErrorVolts, "0 to 1 V");
        Check(BowVolts is >= -1 and <= 1, nameof(BowVolts), BowVolts, "-1 to 1 V");
        Check(NoiseVolts is >= 0 and <= 1, nameof(NoiseVolts), NoiseVolts, "0 to 1 V");
        Check(HumVolts is >= 0 and <= 1, nameof(HumVolts), HumVolts, "0 to 1 V");
        Check(HumHertz is >= 10 and <= 1000, nameof(HumHertz), HumHertz, "10 to 1000 Hz");
        Check(LongestCatchUp >= TimeSpan.FromMilliseconds(10), nameof(LongestCatchUp), LongestCatchUp, "10 ms or more");
        Check(Channels.Count == Domain.RigChannels.Count, nameof(Channels), Channels.Count, "one scale for each channel");
        Check(HardLimits.DriveFloor.Value < 0, nameof(HardLimits.DriveFloor), HardLimits.DriveFloor, "below 0 V");
        Check(HardLimits.SupplyMax <= Domain.Tubes.ExtraLowVoltage.Limit, nameof(HardLimits.SupplyMax), HardLimits.SupplyMax, "at most 60 V");
        Check(Behaviours.Count <= Tubes.Count, nameof(Behaviours), Behaviours.Count, "at most one for each socket");
        for (var i = 0; i < Tubes.Count; i++)
            foreach (var refusal in Tubes[i]?.Faults() ?? []) faults.Add($"Socket {i}: {refusal}");
        if (faults.Count > 0) throw new ArgumentException(string.Join(Environment.NewLine, faults));
    }
}

/// <summary>Time constants of the simulated circuit in microseconds (illustrative).</summary>
public sealed record SettlingTimes
{
    public double DriveMicroseconds { get; init; } = 4;
    public double GridMicroseconds { get; init; } = 3;
    public double PlateMicroseconds { get; init; } = 8;
    public double ScreenMicroseconds { get; init; } = 1;
    public double RailRiseMicroseconds { get; init; } = 5_000;
    public double RailFallMicroseconds { get; init; } = 5_000;

    /// <summary>Cathode warming and cooling, before <see cref="SimulatedRigOptions.HeaterSpeed"/>. Default 8 s (illustrative, no source).</summary>
    public double CathodeMicroseconds { get; init; } = 8_000_000;
}
