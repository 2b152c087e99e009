"""The fit of the tube model to two sweeps with SciPy's least_squares, vectorised in NumPy, with an analytic Jacobian or SciPy's own differences.

Standard input, one line each: repeats, tolerance, method, "analytic" or "differences"; the 24 constants of the model script with those to be fitted at their
start; indices of the fitted ones; 1 where the coordinate is a logarithm; prior centres; prior widths; then for each sweep: triode (0 or 1), grid, screen and
plate resistor, rail, scatter of plate, grid and screen; drives; plate; grid; screen readings (the last empty for a triode).
Output: milliseconds (best), evaluations, Jacobians, sum of squares, fitted coordinates.

Node voltages come from Newton's method on all points of a sweep side by side with the model's analytic derivatives, started from the solution before, as in
the program that is compared; a solution that is still moving by more than 1e-7 V gets another step. Their derivatives by the constants come from those of
the currents by the implicit function theorem, with the last solution's linear equations.
"""
import os
import sys
import time

import numpy as np
from scipy.optimize import least_squares

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "ModelSpeed"))
from model_speed import K, evaluate, positive, smaller  # noqa: E402


def by_constants(c, vg1, vg2, vp):
    """Derivatives of the three currents by the coordinates of the model script's constants 0 to 14, voltages held; None where a constant is not fitted."""
    (P, mu2, mup, Vc, sigma, delta, phi1, G2, n2, D, q, G3, n3, Ib, Is0, nE, W, T0, gamma, Ggk, Gg2, Ggp, Gpk, kelvin) = c
    vt = K * kelvin
    w0 = 1.5 * vt
    isat = Is0 * (kelvin / T0) ** 2 * np.exp(-W / K * (1 / kelvin - 1 / T0))
    vs, vq = positive(vg2, w0)[0], positive(vp, w0)[0]
    w = np.sqrt(w0 * w0 + sigma * sigma * vs * vs)
    ve = vg1 + Vc + vg2 / mu2 + vp / mup
    e, e1, ew = positive(ve, w)
    i0 = P * e * np.sqrt(e)
    ie, ie0, iesat = smaller(i0, isat, nE)
    vc1, vc1s, _ = positive(vg1 + phi1, 0.5 * vt)
    eh, eh1, ehw = positive(ve + vc1 - phi1 - vg1, w)
    quotient = eh / e
    r = delta * np.sqrt(vc1 / vs) * quotient * np.sqrt(quotient)
    go = 1 / (1 + r)
    f = ie * go
    lim = G2 * vs * np.sqrt(vs)
    it, itf, itl = smaller(f, lim, n2)
    ratio = np.log(vq / vs)
    d = D * np.exp(q * ratio)
    th = d / (1 + d)
    inj = it * th
    plim = G3 * vq * np.sqrt(vq) / (1 + inj / Ib)
    pl, pli, pll = smaller(inj, plim, n3)
    by = pli - pll * plim / (Ib + inj)

    def caught(die, df, dit, dr):
        return (die + df - dit) * r * go + (ie + f - it) * go * go * dr

    def through(die, dr):
        df = go * (die - f * dr)
        dit = itf * df
        dpl = by * th * dit
        return caught(die, df, dit, dr) - gamma * dit, dit - dpl, dpl + gamma * dit

    # By the composite voltage and the width of the cut-off, which act on the space current and on the division at the grid.
    i0e, re = 1.5 * i0 * e1 / e, 1.5 * r * (eh1 / eh - e1 / e)
    i0w, rw = 1.5 * i0 * ew / e, 1.5 * r * (ehw / eh - ew / e)
    composite = through(ie0 * i0e, re)
    width = through(ie0 * i0w, rw)
    share = through(0, r)
    onset = through(0, r * (0.5 * vc1s / vc1 + 1.5 * eh1 * (vc1s - 1) / eh))
    dit = itl * lim
    space = -dit * r * go - gamma * dit, dit - by * th * dit, by * th * dit + gamma * dit
    dd = by * inj / (1 + d)
    plate, fold = pll * plim, pll * plim * inj / (Ib + inj)
    zero = np.zeros_like(vg1)

    def scaled(parts, factor):
        return [factor * part for part in parts]

    return [
        through(ie0 * i0, 0), scaled(composite, -vg2 / mu2), scaled(composite, -vp / mup), composite, scaled(width, sigma * sigma * vs * vs / w), share, onset,
        space, None, (zero, -dd, dd), (zero, -dd * ratio, dd * ratio), (zero, -plate, plate), None, (zero, -fold, fold), through(iesat * isat, 0),
    ]


class Sweep:
    def __init__(self, lines):
        kind, self.rg, self.rs, self.rp, self.rail, self.sp, self.sg, self.ss = next(lines)
        self.triode = kind == 1
        self.drive, self.plate, self.grid, self.screen = (np.array(next(lines)) for _ in range(4))
        self.g = np.minimum(self.drive, 1.0)
        self.p = np.full_like(self.drive, 0.3 * self.rail if self.triode else 0.5 * self.rail)
        self.s = self.p if self.triode else np.full_like(self.drive, self.rail)

    def linear(self, g, s, p, c):
        """Node equations and what solves them for a right-hand side."""
        ig, i2, ip, gg, gs, gp, sg, ss, sp, pg, ps, pp = evaluate(c, g, s, p)
        if self.triode:
            left = g - self.drive + self.rg * ig, p - self.rail + self.rp * (i2 + ip)
            a, b = 1 + self.rg * gg, self.rg * (gs + gp)
            cc, d = self.rp * (sg + pg), 1 + self.rp * (ss + sp + ps + pp)
            det = a * d - b * cc
            return left, lambda fg, fp: ((fg * d - b * fp) / det, (a * fp - cc * fg) / det)
        left = g - self.drive + self.rg * ig, s - self.rail + self.rs * i2, p - self.rail + self.rp * ip
        a11, a12, a13 = 1 + self.rg * gg, self.rg * gs, self.rg * gp
        a21, a22, a23 = self.rs * sg, 1 + self.rs * ss, self.rs * sp
        a31, a32, a33 = self.rp * pg, self.rp * ps, 1 + self.rp * pp
        c1, c2, c3 = a22 * a33 - a23 * a32, a23 * a31 - a21 * a33, a21 * a32 - a22 * a31
        det = a11 * c1 + a12 * c2 + a13 * c3
        return left, lambda fg, fs, fp: (
            (fg * c1 + fs * (a13 * a32 - a12 * a33) + fp * (a12 * a23 - a13 * a22)) / det,
            (fg * c2 + fs * (a11 * a33 - a13 * a31) + fp * (a13 * a21 - a11 * a23)) / det,
            (fg * c3 + fs * (a12 * a31 - a11 * a32) + fp * (a11 * a22 - a12 * a21)) / det,
        )

    def solve(self, c):
        for n in range(200):
            left, solved = self.linear(self.g, self.s, self.p, c)
            step = solved(*left)
            largest = max(np.max(np.abs(v)) for v in step)
            if self.triode:
                self.g = self.g - np.clip(step[0], -2, 2)
                self.s = self.p = self.p - np.clip(step[1], -8, 8)
            else:
                self.g = self.g - np.clip(step[0], -2, 2)
                self.s = self.s - np.clip(step[1], -8, 8)
                self.p = self.p - np.clip(step[2], -8, 8)
            if largest <= 1e-7:
                break
        self.solved = solved
        if self.triode:
            return (self.p - self.plate) / self.sp, (self.g - self.grid) / self.sg
        return (self.p - self.plate) / self.sp, (self.g - self.grid) / self.sg, (self.s - self.screen) / self.ss

    def differentiate(self, c, fitted, out):
        """Columns of the Jacobian; the equations are those of the last step of the solution, which was within 1e-7 V of it."""
        n = len(self.drive)
        parts = by_constants(c, self.g, self.s, self.p)
        for column, k in enumerate(fitted):
            ig, i2, ip = parts[k]
            if self.triode:
                dg, dp = self.solved(self.rg * ig, self.rp * (i2 + ip))
            else:
                dg, ds, dp = self.solved(self.rg * ig, self.rs * i2, self.rp * ip)
                out[2 * n:3 * n, column] = -ds / self.ss
            out[:n, column] = -dp / self.sp
            out[n:2 * n, column] = -dg / self.sg


def main():
    text = sys.stdin.read().split("\n")
    repeats, tolerance, method, derivatives = text[0].split()
    repeats, tolerance = int(repeats), float(tolerance)
    lines = iter([[float(v) for v in line.split()] for line in text[1:]])
    constants = next(lines)
    fitted = [int(v) for v in next(lines)]
    logs = np.array(next(lines)) > 0
    centre, width = np.array(next(lines)), np.array(next(lines))
    block = [next(lines) for _ in range(10)]
    start = np.array([constants[k] for k in fitted])
    start[logs] = np.log(start[logs])
    best = np.inf
    with np.errstate(all="ignore"):
        for _ in range(repeats):
            rows = iter(block)
            sweeps = [Sweep(rows), Sweep(rows)]
            counts = [0, 0]
            at = [None]

            def model(x):
                c = list(constants)
                for k, v in zip(fitted, np.where(logs, np.exp(x), x)):
                    c[k] = float(v)
                return c

            def residuals(x):
                counts[0] += 1
                at[0] = x.copy()
                parts = [part for sweep in sweeps for part in sweep.solve(model(x))]
                return np.concatenate(parts + [(x - centre) / width])

            def jacobian(x):
                counts[1] += 1
                c = model(x)
                # The solution at hand is that of the last point asked for; least_squares may have turned it down since.
                if not np.array_equal(at[0], x):
                    at[0] = x.copy()
                    for sweep in sweeps:
                        sweep.solve(c)
                sizes = [len(sweep.drive) * (2 if sweep.triode else 3) for sweep in sweeps]
                out = np.zeros((sum(sizes) + len(x), len(x)))
                sweeps[0].differentiate(c, fitted, out[:sizes[0]])
                sweeps[1].differentiate(c, fitted, out[sizes[0]:sum(sizes)])
                out[sum(sizes):] = np.diag(1 / width)
                return out

            more = {"jac": jacobian} if derivatives == "analytic" else {}
            begin = time.perf_counter()
            r = least_squares(residuals, start, method=method, x_scale="jac" if method == "lm" else 1.0, ftol=tolerance, xtol=tolerance, gtol=tolerance, **more)
            best = min(best, time.perf_counter() - begin)
    print(1e3 * best, counts[0], counts[1], 2 * r.cost, *r.x)


main()
