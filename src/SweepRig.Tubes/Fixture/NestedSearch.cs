namespace SweepRig.Tubes.Fixture;

/// <summary>The sure but slow way to a balance: the plate balanced inside the screen, the screen inside the grid, each by a bracket.</summary>
internal struct NestedSearch(FixtureEquations equations, double lowest, double highest)
{
    private double _screen;
    private double _plate;

    public int Evaluations { get; private set; }

    public bool TryFind(out double grid, out double screen, out double plate)
    {
        var level = new GridLevel { Search = this };
        var found = BracketedRoot.TryFind(ref level, lowest, highest, out grid);
        // The inner levels were last balanced at some other grid voltage of the bracket; balance them once more at the root.
        level.At(grid);
        this = level.Search;
        screen = _screen;
        plate = _plate;
        return found && double.IsFinite(grid + screen + plate);
    }

    private FixtureEquations.Residual Residual(double grid, double screen, double plate)
    {
        Evaluations++;
        return equations.At(grid, screen, plate, equations.Currents(grid, screen, plate, out _));
    }

    private struct GridLevel : IScalarFunction
    {
        public NestedSearch Search;

        public double At(double x)
        {
            var search = Search;
            if (search.IsTriode)
            {
                var plate = new PlateLevel { Search = search, Grid = x };
                if (!BracketedRoot.TryFind(ref plate, search.Lowest, search.Highest, out var root)) return double.NaN;
                search = plate.Search;
                (search._screen, search._plate) = (root, root);
            }
            else
            {
                var screen = new ScreenLevel { Search = search, Grid = x };
                if (!BracketedRoot.TryFind(ref screen, search.Lowest, search.Highest, out var root)) return double.NaN;
                screen.At(root);
                search = screen.Search;
                search._screen = root;
            }
            var residual = search.Residual(x, search._screen, search._plate).Grid;
            Search = search;
            return residual;
        }
    }

    private struct ScreenLevel : IScalarFunction
    {
        public NestedSearch Search;
        public double Grid;

        public double At(double x)
        {
            var plate = new PlateLevel { Search = Search, Grid = Grid, Screen = x };
            if (!BracketedRoot.TryFind(ref plate, Search.Lowest, Search.Highest, out var root)) return double.NaN;
            var search = plate.Search;
            search._plate = root;
            var residual = search.Residual(Grid, x, root).Screen;
            Search = search;
            return residual;
        }
    }

    private struct PlateLevel : IScalarFunction
    {
        public NestedSearch Search;
        public double Grid;
        public double Screen;

        public double At(double x) => Search.Residual(Grid, Screen, x).Plate;
    }

    private readonly bool IsTriode => equations.Triode;
    private readonly double Lowest => lowest;
    private readonly double Highest => highest;
}
