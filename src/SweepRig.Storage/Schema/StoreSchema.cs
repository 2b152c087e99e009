namespace SweepRig.Storage.Schema;

/// <summary>
/// The tables, step by step; a store's version is how many steps it has had. Written once for both databases, in SQLite's words, which <c>PostgresWords</c>
/// translates. A step once released is never edited; a change is a new step at the end.
/// </summary>
internal static class StoreSchema
{
    public static IReadOnlyList<string> Steps { get; } =
    [
        """
        CREATE TABLE runs (
          number INTEGER PRIMARY KEY,
          id TEXT NOT NULL UNIQUE,
          started TEXT NOT NULL,
          ended TEXT,
          state TEXT NOT NULL,
          samples INTEGER NOT NULL,
          tube_label TEXT NOT NULL,
          tube_type TEXT NOT NULL,
          lot TEXT,
          socket INTEGER NOT NULL,
          plan TEXT NOT NULL,
          header TEXT NOT NULL);
        CREATE INDEX runs_running ON runs (state) WHERE state = 'running';
        CREATE TABLE blocks (
          run INTEGER NOT NULL REFERENCES runs (number),
          sequence INTEGER NOT NULL,
          pass INTEGER NOT NULL,
          frame_index INTEGER NOT NULL,
          samples INTEGER NOT NULL,
          data BLOB NOT NULL,
          PRIMARY KEY (run, sequence)) WITHOUT ROWID;
        CREATE TABLE trips (
          number INTEGER PRIMARY KEY,
          run INTEGER NOT NULL REFERENCES runs (number),
          cause INTEGER NOT NULL,
          by_rig INTEGER NOT NULL,
          measured TEXT NOT NULL,
          allowed TEXT NOT NULL,
          occurred TEXT NOT NULL,
          rig_microseconds INTEGER);
        CREATE INDEX trips_run ON trips (run);
        CREATE TABLE gaps (
          number INTEGER PRIMARY KEY,
          run INTEGER NOT NULL REFERENCES runs (number),
          pass INTEGER NOT NULL,
          first_point INTEGER NOT NULL,
          points INTEGER NOT NULL,
          reason TEXT NOT NULL);
        CREATE INDEX gaps_run ON gaps (run);
        """,
        """
        CREATE TABLE calibrations (
          number INTEGER PRIMARY KEY,
          id TEXT NOT NULL UNIQUE,
          rig TEXT NOT NULL,
          made TEXT NOT NULL,
          document TEXT NOT NULL);
        CREATE INDEX calibrations_rig ON calibrations (rig, made);
        CREATE TABLE calibrations_begun (
          rig TEXT PRIMARY KEY,
          saved TEXT NOT NULL,
          document TEXT NOT NULL) WITHOUT ROWID;
        """,
        """
        CREATE TABLE lots (
          number INTEGER PRIMARY KEY,
          name TEXT NOT NULL UNIQUE,
          prefix TEXT NOT NULL UNIQUE,
          type TEXT,
          origin TEXT,
          price TEXT,
          note TEXT,
          booked TEXT NOT NULL);
        CREATE TABLE tubes (
          number INTEGER PRIMARY KEY,
          label TEXT NOT NULL UNIQUE,
          lot INTEGER NOT NULL REFERENCES lots (number),
          ordinal INTEGER NOT NULL,
          UNIQUE (lot, ordinal));
        CREATE TABLE tube_changes (
          number INTEGER PRIMARY KEY,
          tube INTEGER NOT NULL REFERENCES tubes (number),
          kind TEXT NOT NULL,
          text TEXT NOT NULL,
          at TEXT NOT NULL);
        CREATE INDEX tube_changes_tube ON tube_changes (tube);
        """,
        "CREATE INDEX runs_tube ON runs (tube_label, id);",
        """
        ALTER TABLE runs ADD COLUMN bench TEXT;
        ALTER TABLE runs ADD COLUMN writes INTEGER NOT NULL DEFAULT 0;
        """,
        """
        CREATE TABLE texts (
          number INTEGER PRIMARY KEY,
          hash TEXT NOT NULL UNIQUE,
          body TEXT NOT NULL);
        ALTER TABLE runs ADD COLUMN plan_text INTEGER REFERENCES texts (number);
        ALTER TABLE runs ADD COLUMN setup_text INTEGER REFERENCES texts (number);
        ALTER TABLE runs ADD COLUMN screening TEXT;
        UPDATE runs SET screening = '' WHERE header LIKE '%"screening":{%';
        CREATE INDEX runs_screenings ON runs (id) WHERE screening IS NOT NULL;
        CREATE INDEX runs_sweeps ON runs (id) WHERE screening IS NULL;
        CREATE TABLE packs (
          number INTEGER PRIMARY KEY,
          run INTEGER NOT NULL REFERENCES runs (number),
          sequence INTEGER NOT NULL,
          blocks INTEGER NOT NULL,
          data BLOB NOT NULL,
          UNIQUE (run, sequence));
        """,
        """
        CREATE TABLE events (
          number INTEGER PRIMARY KEY,
          id TEXT NOT NULL UNIQUE,
          bench TEXT NOT NULL,
          at TEXT NOT NULL,
          rig TEXT,
          severity TEXT NOT NULL,
          kind TEXT NOT NULL,
          text TEXT NOT NULL,
          remedy TEXT NOT NULL,
          run TEXT,
          tube TEXT,
          job TEXT,
          seen INTEGER NOT NULL);
        CREATE INDEX events_at ON events (at);
        CREATE INDEX events_unseen ON events (number) WHERE seen = 0;
        """,
        """
        CREATE TABLE nights (
          number INTEGER PRIMARY KEY,
          id TEXT NOT NULL UNIQUE,
          bench TEXT NOT NULL,
          rig TEXT NOT NULL,
          name TEXT NOT NULL,
          begun TEXT NOT NULL,
          ended TEXT,
          ended_because TEXT,
          document TEXT NOT NULL,
          tubes TEXT NOT NULL,
          forecast TEXT NOT NULL,
          progress TEXT NOT NULL);
        CREATE TABLE night_steps (
          number INTEGER PRIMARY KEY,
          night INTEGER NOT NULL REFERENCES nights (number),
          step INTEGER NOT NULL,
          attempt INTEGER NOT NULL,
          job TEXT NOT NULL,
          socket INTEGER NOT NULL,
          turn INTEGER NOT NULL,
          tube TEXT NOT NULL,
          state TEXT NOT NULL,
          began REAL,
          ended REAL,
          verdict TEXT,
          runs TEXT NOT NULL,
          coulombs REAL NOT NULL,
          UNIQUE (night, step, attempt));
        """,
    ];

    public static int Latest => Steps.Count;
}
