"""The 27 nonlinear problems of the NIST StRD with SciPy's least_squares and derivatives worked out by hand.

Argument: the folder with the original files, and the number of timed repeats. Writes one line a run: name, start, digits of the worst parameter,
digits of the worst standard error, milliseconds (best of the repeats). Run it with OMP_NUM_THREADS=1: the problems are small.
"""
import os
import sys
import time

import numpy as np
from scipy.optimize import least_squares

EXP, LOG, PI = np.exp, np.log, np.pi


def saturation(x, b):
    e = EXP(-b[1] * x)
    return b[0] * (1 - e), (1 - e, b[0] * x * e)


def misra1b(x, b):
    u = 1 + b[1] * x / 2
    g = 1 - u**-2
    return b[0] * g, (g, b[0] * x * u**-3)


def misra1c(x, b):
    u = 1 + 2 * b[1] * x
    g = 1 - u**-0.5
    return b[0] * g, (g, b[0] * x * u**-1.5)


def misra1d(x, b):
    u = 1 + b[1] * x
    g = b[1] * x / u
    return b[0] * g, (g, b[0] * x / u**2)


def chwirut(x, b):
    d = b[1] + b[2] * x
    y = EXP(-b[0] * x) / d
    return y, (-x * y, -y / d, -x * y / d)


def danwood(x, b):
    p = x ** b[1]
    return b[0] * p, (p, b[0] * p * LOG(x))


def peak(x, a, m, s):
    z = (x - m) / s
    e = EXP(-z * z)
    return a * e, (e, 2 * a * e * z / s, 2 * a * e * z * z / s)


def gauss(x, b):
    e = EXP(-b[1] * x)
    p, gp = peak(x, *b[2:5])
    q, gq = peak(x, *b[5:8])
    return b[0] * e + p + q, (e, -x * b[0] * e) + gp + gq


def lanczos(x, b):
    y, g = 0, []
    for k in (0, 2, 4):
        e = EXP(-b[k + 1] * x)
        y = y + b[k] * e
        g += [e, -x * b[k] * e]
    return y, g


def rational(n):
    def model(x, b):
        top = np.polynomial.polynomial.polyval(x, b[:n])
        bottom = 1 + x * np.polynomial.polynomial.polyval(x, b[n:])
        return top / bottom, [x**k / bottom for k in range(n)] + [-top * x ** (k + 1) / bottom**2 for k in range(len(b) - n)]
    return model


def mgh09(x, b):
    top, bottom = x * x + x * b[1], x * x + x * b[2] + b[3]
    f = b[0] * top / bottom**2
    return b[0] * top / bottom, (top / bottom, b[0] * x / bottom, -f * x, -f)


def mgh10(x, b):
    d = x + b[2]
    e = EXP(b[1] / d)
    return b[0] * e, (e, b[0] * e / d, -b[0] * e * b[1] / d**2)


def mgh17(x, b):
    e, f = EXP(-x * b[3]), EXP(-x * b[4])
    return b[0] + b[1] * e + b[2] * f, (np.ones_like(x), e, f, -x * b[1] * e, -x * b[2] * f)


def nelson(x, b):
    e = x[0] * EXP(-b[2] * x[1])
    return b[0] - b[1] * e, (np.ones_like(e), -e, b[1] * e * x[1])


def roszman(x, b):
    d = x - b[3]
    q = PI * (d * d + b[2] ** 2)
    return b[0] - b[1] * x - np.arctan(b[2] / d) / PI, (np.ones_like(x), -x, -d / q, -b[2] / q)


def wave(x, period, c, s):
    phase = 2 * PI * x / period
    co, si = np.cos(phase), np.sin(phase)
    return c * co + s * si, co, si, (c * si - s * co) * phase / period


def enso(x, b):
    y1, c1, s1, _ = wave(x, 12, b[1], b[2])
    y2, c2, s2, p2 = wave(x, b[3], b[4], b[5])
    y3, c3, s3, p3 = wave(x, b[6], b[7], b[8])
    return b[0] + y1 + y2 + y3, (np.ones_like(x), c1, s1, p2, c2, s2, p3, c3, s3)


def rat42(x, b):
    e = EXP(b[1] - b[2] * x)
    s = 1 / (1 + e)
    f = b[0] * s * s * e
    return b[0] * s, (s, -f, f * x)


def rat43(x, b):
    e = EXP(b[1] - b[2] * x)
    p = (1 + e) ** (-1 / b[3])
    f = -b[0] * p * e / (b[3] * (1 + e))
    return b[0] * p, (p, f, -f * x, b[0] * p * LOG(1 + e) / b[3] ** 2)


def eckerle(x, b):
    z = (x - b[2]) / b[1]
    e = EXP(-0.5 * z * z) / b[1]
    return b[0] * e, (e, b[0] * e * (z * z - 1) / b[1], b[0] * e * z / b[1])


def bennett(x, b):
    u = b[1] + x
    p = u ** (-1 / b[2])
    return b[0] * p, (p, -b[0] * p / (b[2] * u), b[0] * p * LOG(u) / b[2] ** 2)


MODELS = {
    "Misra1a": saturation, "BoxBOD": saturation, "Misra1b": misra1b, "Misra1c": misra1c, "Misra1d": misra1d, "Chwirut1": chwirut, "Chwirut2": chwirut,
    "DanWood": danwood, "Gauss1": gauss, "Gauss2": gauss, "Gauss3": gauss, "Lanczos1": lanczos, "Lanczos2": lanczos, "Lanczos3": lanczos,
    "Kirby2": rational(3), "Hahn1": rational(4), "Thurber": rational(4), "MGH09": mgh09, "MGH10": mgh10, "MGH17": mgh17, "Nelson": nelson,
    "Roszman1": roszman, "ENSO": enso, "Rat42": rat42, "Rat43": rat43, "Eckerle4": eckerle, "Bennett5": bennett,
}


def read(path, name):
    lines = open(path).read().splitlines()
    first = next(i for i, line in enumerate(lines) if line.startswith("  b1 ="))
    rows = []
    while "=" in lines[first + len(rows)]:
        rows.append([float(v) for v in lines[first + len(rows)].split("=")[1].split()])
    rows = np.array(rows)
    head = max(i for i, line in enumerate(lines) if line.startswith("Data:"))
    table = np.array([[float(v) for v in line.split()] for line in lines[head + 1:] if line.strip()])
    x, y = table[:, 1:].T, table[:, 0]
    return rows, (x if len(x) > 1 else x[0]), (LOG(y) if name == "Nelson" else y)


def digits(values, certified):
    wrong = np.abs(values - certified) / np.abs(certified)
    return float(np.min(np.minimum(15, -np.log10(np.maximum(wrong, 1e-16)))))


def fit(model, x, y, start):
    # Of the methods (trf, dogbox, lm) and scalings (none, by the Jacobian) only trf reaches every minimum, quickest without scaling; tolerances at the least taken.
    return least_squares(
        lambda b: model(x, b)[0] - y, start, jac=lambda b: np.column_stack(model(x, b)[1]),
        method="trf", ftol=1e-15, xtol=1e-15, gtol=1e-15, max_nfev=20000)


def main():
    folder, repeats = sys.argv[1], int(sys.argv[2])
    np.seterr(all="ignore")
    for name, model in sorted(MODELS.items()):
        rows, x, y = read(os.path.join(folder, name + ".dat"), name)
        for start in (0, 1):
            best = np.inf
            for _ in range(repeats):
                begin = time.perf_counter()
                r = fit(model, x, y, rows[:, start])
                best = min(best, time.perf_counter() - begin)
            n, m = r.jac.shape
            _, triangle = np.linalg.qr(r.jac)
            inverse = np.linalg.inv(triangle)
            errors = np.sqrt(2 * r.cost / (n - m) * np.sum(inverse**2, axis=1))
            print(name, start + 1, digits(r.x, rows[:, 2]), digits(errors, rows[:, 3]), 1e3 * best)


main()
