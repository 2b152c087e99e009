"""Trials of a half adder's yield with SciPy's root solver: all tubes at once in NumPy, analytic Jacobian, nominal start.

Reads the network as JSON from standard input. Prints seconds a trial, and the largest difference of the nominal rows from their starts in volts.
"""
import json
import os
import sys
import time

import numpy as np
from scipy.optimize import root

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "ModelSpeed"))
from model_speed import evaluate  # noqa: E402


def main():
    net = json.load(sys.stdin)
    unknown = np.array(net["unknown"])
    size = int(unknown.max()) + 1
    free = unknown >= 0
    ends = np.array([[r[0], r[1]] for r in net["resistors"]], dtype=int)
    siemens0 = np.array([r[2] for r in net["resistors"]])
    tubes = np.array(net["tubes"], dtype=int)
    c = net["constants"]
    a, b = ends[:, 0], ends[:, 1]
    leads = [tubes[:, 0], tubes[:, 1], tubes[:, 2], tubes[:, 3]]
    count = len(unknown)

    def solve(siemens, volts):
        base = volts.copy()

        def rows(x):
            v = base.copy()
            v[free] = x[unknown[free]]
            through = siemens * (v[a] - v[b])
            out = np.zeros(count)
            np.add.at(out, a, through)
            np.add.at(out, b, -through)
            jac = np.zeros((count, count))
            np.add.at(jac, (a, a), siemens)
            np.add.at(jac, (b, b), siemens)
            np.add.at(jac, (a, b), -siemens)
            np.add.at(jac, (b, a), -siemens)
            g, s, p, k = leads
            i = evaluate(c, v[g] - v[k], v[s] - v[k], v[p] - v[k])
            for place, at in ((g, 0), (s, 1), (p, 2)):
                np.add.at(out, place, i[at])
                np.add.at(out, k, -i[at])
                d = i[3 + 3 * at:6 + 3 * at]
                for column, slope in zip((g, s, p), d):
                    np.add.at(jac, (place, column), slope)
                    np.add.at(jac, (k, column), -slope)
                total = d[0] + d[1] + d[2]
                np.add.at(jac, (place, k), -total)
                np.add.at(jac, (k, k), total)
            # Currents in units of 0.1 mA, so that the solver's tolerance means volts on ten kilohms.
            return 1e4 * out[free], 1e4 * jac[np.ix_(free, free)]

        start = np.zeros(size)
        start[unknown[free]] = volts[free]
        found = root(rows, start, jac=True, method="hybr", options={"xtol": 1e-9})
        v = base.copy()
        v[free] = found.x[unknown[free]]
        return v, found.success

    worst = 0.0
    for row in net["rows"]:
        start = np.array(row["start"])
        v, _ = solve(siemens0, start + 0.01 * free)
        worst = max(worst, float(np.max(np.abs(v - start))))

    random = np.random.default_rng(1)
    t = net["tolerance"]
    begin = time.perf_counter()
    for _ in range(net["trials"]):
        siemens = siemens0 / (1 + t * random.uniform(-1, 1, siemens0.size))
        rails = [(int(n), volts * (1 + t * random.uniform(-1, 1))) for n, volts in net["rails"]]
        for row in net["rows"]:
            volts = np.array(row["start"])
            for node, value in rails:
                volts[node] = value
            for node, value in zip(net["inputs"], row["volts"]):
                volts[node] = value
            solve(siemens, volts)
    print((time.perf_counter() - begin) / net["trials"])
    print(worst)


if __name__ == "__main__":
    main()
