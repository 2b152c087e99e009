"""Trials of a half adder's yield with SciPy's root solver, as quick as its users can make it.

All tubes at once in NumPy, analytic Jacobian, nominal start; resistors are one matrix, made once a trial. Currents and Jacobian are two functions, for Powell's hybrid method asks for
the Jacobian seldom. Reads the network as JSON from standard input. Prints seconds a trial, and the largest difference of the nominal rows from their starts in volts.
"""
import json
import os
import sys
import time

import numpy as np
from scipy.optimize import root

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "ModelSpeed"))
from model_speed import currents, evaluate  # noqa: E402

# Currents in units of 0.1 mA, so that the solver's tolerance means volts on ten kilohms.
SCALE = 1e4


def main():
    net = json.load(sys.stdin)
    unknown = np.array(net["unknown"])
    free = unknown >= 0
    size, count = int(unknown.max()) + 1, len(unknown)
    ends = np.array([[r[0], r[1]] for r in net["resistors"]], dtype=int)
    siemens0 = np.array([r[2] for r in net["resistors"]])
    tubes = np.array(net["tubes"], dtype=int)
    c = net["constants"]

    def incidence(plus, minus):
        """Nodes by branches: voltages across them from the nodes, and currents into the nodes from theirs."""
        whole = np.zeros((count, len(plus)))
        whole[plus, np.arange(len(plus))] += 1
        whole[minus, np.arange(len(minus))] -= 1
        mine = np.zeros((size, len(plus)))
        mine[unknown[free]] = whole[free]
        return mine, np.ascontiguousarray(whole[~free].T)

    across, across_held = incidence(ends[:, 0], ends[:, 1])
    leads = tubes[:, :3].T.ravel()
    at, at_held = incidence(leads, np.tile(tubes[:, 3], 3))
    to = np.ascontiguousarray(at.T)
    n = len(tubes)
    slopes = np.zeros((3 * n, 3 * n))
    own = np.arange(n)
    place = (np.repeat(np.arange(3), 3)[:, None] * n + own, np.tile(np.arange(3), 3)[:, None] * n + own)

    def matrix(siemens):
        weighed = across * siemens
        return weighed @ across.T, weighed

    def solve(known, volts):
        conductance, weighed = known
        held = volts[~free]
        steady = weighed @ (across_held @ held)
        rest = at_held @ held

        def rows(x):
            v = to @ x + rest
            return SCALE * (conductance @ x + steady + at @ np.concatenate(currents(c, v[:n], v[n:2 * n], v[2 * n:])))

        def jacobian(x):
            v = to @ x + rest
            slopes[place] = evaluate(c, v[:n], v[n:2 * n], v[2 * n:])[3:]
            return SCALE * (conductance + at @ slopes @ to)

        start = np.empty(size)
        start[unknown[free]] = volts[free]
        return root(rows, start, jac=jacobian, method="hybr", options={"xtol": 1e-9}).x

    worst = 0.0
    nominal = matrix(siemens0)
    for row in net["rows"]:
        start = np.array(row["start"])
        worst = max(worst, float(np.max(np.abs(solve(nominal, start + 0.01 * free) - start[free][np.argsort(unknown[free])]))))

    random = np.random.default_rng(1)
    t = net["tolerance"]
    begin = time.perf_counter()
    for _ in range(net["trials"]):
        known = matrix(siemens0 / (1 + t * random.uniform(-1, 1, siemens0.size)))
        rails = [(int(node), volts * (1 + t * random.uniform(-1, 1))) for node, volts in net["rails"]]
        for row in net["rows"]:
            volts = np.array(row["start"])
            for node, value in rails:
                volts[node] = value
            for node, value in zip(net["inputs"], row["volts"]):
                volts[node] = value
            solve(known, volts)
    print((time.perf_counter() - begin) / net["trials"])
    print(worst)


if __name__ == "__main__":
    main()
