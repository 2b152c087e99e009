"""Levels of one transfer curve in NumPy, by the same method: a pilot slope at every point, then local quintics whose window grows while residuals and
highest terms stay those of noise, each quantity read off with its standard uncertainty over one standard deviation along each direction of the coefficients.

Standard input: a line with the number of points, then drive, plate, plate current, grid current, one column a line. Argument: timed repeats.
Output: best milliseconds, then name, value, standard uncertainty a line. Run it with OMP_NUM_THREADS=1: the problems are small.
"""
import sys
import time

import numpy as np


def fit(x, y, first, last, centre, degree=5):
    scale = max(x[last] - centre, centre - x[first])
    v = np.vander((x[first:last + 1] - centre) / scale, degree + 1, increasing=True)
    inverse = np.linalg.inv(v.T @ v)
    c = inverse @ (v.T @ y[first:last + 1])
    r = y[first:last + 1] - v @ c
    return c, inverse, float(r @ r), last - first - degree, scale


def noise_of(x, y):
    w = np.lib.stride_tricks.sliding_window_view(y, 5)
    # What a cubic through five even neighbours leaves: the fourth difference over the root of its weights.
    d = w @ np.array([1, -4, 6, -4, 1]) / np.sqrt(70)
    return np.sqrt(np.median(d * d) / 0.4549)


def window(x, y, near, sigma):
    n, half, accepted = len(x), 3, 3
    while half <= n // 2:
        first = max(0, min(near - half, n - 1 - 2 * half))
        last = min(n - 1, max(near + half, 2 * half))
        c, inverse, squares, free, _ = fit(x, y, first, last, x[near])
        s = 2 / (9 * free)
        block = inverse[-2:, -2:]
        if squares > sigma**2 * free * (1 - s + 3.719 * np.sqrt(s))**3 or c[-2:] @ np.linalg.solve(block, c[-2:]) > 18.42 * sigma**2:
            break
        accepted = half
        half += max(1, half // 3)
    half = max(3, int(0.9 * accepted))
    first = max(0, min(near - half, n - 1 - 2 * half))
    last = min(n - 1, max(near + half, 2 * half))
    return fit(x, y, first, last, x[near])


def derivative(c, order, z):
    for _ in range(order):
        c = np.arange(1, len(c)) * c[1:]
    return np.polynomial.polynomial.polyval(z, c)


def place(c, order, target):
    z = 0.0
    for _ in range(30):
        move = (derivative(c, order, z) - target) / derivative(c, order + 1, z)
        z -= np.clip(move, -0.5, 0.5)
        if abs(move) < 1e-11:
            break
    return z


def read(w, sigma, what):
    c, inverse, _, _, _ = w
    lower = np.linalg.cholesky(inverse) * sigma
    value, variance, bias = what(c), 0.0, 0.0
    for k in range(len(c)):
        up, down = what(c + lower[:, k]), what(c - lower[:, k])
        bend = (up + down) / 2 - value
        variance += (up - down)**2 / 4 + 2 * bend**2
        bias += bend
    return value - bias, np.sqrt(variance)


def levels(x, plate, plate_current, grid_current):
    found = []
    sigma = noise_of(x, plate)
    v = np.lib.stride_tricks.sliding_window_view(plate, 7)
    u = np.lib.stride_tricks.sliding_window_view(x, 7)
    du = u - u.mean(1, keepdims=True)
    slope = np.full(len(x), np.nan)
    slope[3:-3] = (v * du).sum(1) / (du * du).sum(1)
    steepest = int(np.nanargmin(slope))

    def at(name, y, near, s, order, target):
        w = None
        for _ in range(5):
            w = window(x, y, near, s)
            z = place(w[0], order, target * w[4]**order)
            nxt = int(np.argmin(np.abs(x - (x[near] + z * w[4]))))
            if nxt == near:
                break
            near = nxt
        found.append((name, *read(w, s, lambda c: x[near] + w[4] * place(c, order, target * w[4]**order))))
        found.append((name + ", output", *read(w, s, lambda c: derivative(c, 0, place(c, order, target * w[4]**order)))))
        found.append((name + ", slope", *read(w, s, lambda c: derivative(c, 1, place(c, order, target * w[4]**order)) / w[4])))

    at("switching", plate, steepest, sigma, 2, 0.0)
    at("VIL", plate, int(np.nonzero(slope[:steepest] > -1)[0][-1]), sigma, 1, -1.0)
    at("VIH", plate, steepest + int(np.nonzero(slope[steepest:] > -1)[0][0]), sigma, 1, -1.0)
    at("lowest", plate, int(np.argmin(plate)), sigma, 1, 0.0)
    current_sigma = noise_of(x, plate_current)
    for name, amps in (("cut-off, stated", 10e-6), ("cut-off, of full", 0.01 * plate_current.max())):
        at(name, plate_current, int(np.nonzero(plate_current > amps)[0][0]), current_sigma, 0, amps)
    for name, near in (("VOH", 0), ("end", len(x) - 1)):
        found.append((name, *read(window(x, plate, near, sigma), sigma, lambda c: c[0])))
    grid_sigma = noise_of(x, grid_current)
    near = int(np.argmin(np.abs(x - plate.max())))
    found.append(("input current at VOH", *read(window(x, grid_current, near, grid_sigma), grid_sigma, lambda c: c[0])))
    return found


def main():
    sys.stdin.readline()
    columns = [np.array([float(t) for t in line.split()]) for line in sys.stdin]
    best, found = np.inf, []
    for _ in range(int(sys.argv[1])):
        start = time.perf_counter()
        found = levels(*columns)
        best = min(best, time.perf_counter() - start)
    print(1e3 * best)
    for name, value, uncertainty in found:
        print(f"{name}\t{float(value)}\t{float(uncertainty)}")


main()
