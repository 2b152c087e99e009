"""The tube model, currents and nine derivatives, vectorised in NumPy, timed on one thread.

Reads from standard input, little-endian doubles: count, seconds to measure, 23 parameters and the temperature, then Vg1[], Vg2[], Vp[].
Writes to standard output: evaluations a second (best of the repeats), then the twelve result arrays.
Works in blocks that fit the second-level cache, into arrays that NumPy takes from its own pool: whole arrays are slower.
Run it with OMP_NUM_THREADS=1; NumPy's elementwise functions use one thread anyway.
"""
import math
import sys
import time

import numpy as np

BLOCK = 4096
K = 8.617333262e-5


def positive(x, w):
    z = np.abs(x) / w
    u = np.exp(-np.minimum(z, 80))
    fraction = u / (1 + u)
    log = np.log1p(u)
    return np.maximum(x, 0) + w * log, np.where(x >= 0, 1 - fraction, fraction), log + fraction * z


def smaller(a, b, n):
    ratio = a / b
    if n == 2:
        square = 1 / (1 + ratio * ratio)
        root = np.sqrt(square)
        part = ratio * root
        return a * root, square * root, part * part * part
    factor = (1 + ratio**n) ** (-1 / n)
    return a * factor, factor ** (n + 1), (ratio * factor) ** (n + 1)


def evaluate(c, vg1, vg2, vp):
    (P, mu2, mup, Vc, sigma, delta, phi1, G2, n2, D, q, G3, n3, Ib, Is0, nE, W, T0, gamma, Ggk, Gg2, Ggp, Gpk, kelvin) = c
    vt = K * kelvin
    w0 = 1.5 * vt
    isat = Is0 * (kelvin / T0) ** 2 * np.exp(-W / K * (1 / kelvin - 1 / T0))
    i2, ip_ = 1 / mu2, 1 / mup

    vs, vs1, _ = positive(vg2, w0)
    vq, vq1, _ = positive(vp, w0)
    slog, plog = vs1 / vs, vq1 / vq
    w = np.sqrt(w0 * w0 + sigma * sigma * vs * vs)
    w_s = sigma * sigma * vs * vs1 / w
    ve = vg1 + Vc + vg2 * i2 + vp * ip_
    e, e1, ew = positive(ve, w)
    i0 = P * e * np.sqrt(e)
    h = 1.5 / e
    i0g = h * e1
    i0p = i0g * ip_
    i0s = i0g * i2 + h * ew * w_s
    ie, ies, _ = smaller(i0, isat, nE)
    scale = ies * i0
    ieg, ie_s, iep = scale * i0g, scale * i0s, scale * i0p

    vc1, vc1s, _ = positive(vg1 + phi1, 0.5 * vt)
    held = vc1 - phi1 - vg1
    eh, eh1, ehw = positive(ve + held, w)
    quotient = eh / e
    hh = 1.5 / eh
    hl = hh * eh1
    r = delta * np.sqrt(vc1 / vs) * quotient * np.sqrt(quotient)
    rg = r * (0.5 * vc1s / vc1 + hl * vc1s - i0g)
    rs = r * (hl * i2 + hh * ehw * w_s - i0s - 0.5 * slog)
    rp = r * (hl * ip_ - i0p)
    go = 1 / (1 + r)
    catch = r * go
    go2 = go * go
    f = ie * go
    fg, fs, fp = go * (ieg - f * rg), go * (ie_s - f * rs), go * (iep - f * rp)

    lim = G2 * vs * np.sqrt(vs)
    it, itf, itl = smaller(f, lim, n2)
    itg, its, itp = itf * fg, itf * fs + itl * 1.5 * lim * slog, itf * fp
    caught = ie + f - it
    cg = catch * (ieg + fg - itg) + caught * go2 * rg
    cs = catch * (ie_s + fs - its) + caught * go2 * rs
    cp = catch * (iep + fp - itp) + caught * go2 * rp

    d = D * (vq / vs) ** q
    dp = 1 / (1 + d)
    th = d * dp
    inj = it * th
    swing = inj * dp * q
    ig, is_, ipj = itg * th, its * th - swing * slog, itp * th + swing * plog
    plim = G3 * vq * np.sqrt(vq) / (1 + inj / Ib)
    pl, pli, pll = smaller(inj, plim, n3)
    by = pli - pll * plim / (Ib + inj)
    pg, ps, pp = by * ig, by * is_, by * ipj + pll * 1.5 * plim * plog
    ion = gamma * it
    return (
        caught * catch - ion + Ggk * vg1 + Gg2 * (vg1 - vg2) + Ggp * (vg1 - vp),
        it - pl + Gg2 * (vg2 - vg1),
        pl + ion + Ggp * (vp - vg1) + Gpk * vp,
        cg - gamma * itg + (Ggk + Gg2 + Ggp), cs - gamma * its - Gg2, cp - gamma * itp - Ggp,
        itg - pg - Gg2, its - ps + Gg2, itp - pp,
        pg + gamma * itg - Ggp, ps + gamma * its, pp + gamma * itp + (Ggp + Gpk),
    )


def rounded(x, w):
    return np.maximum(x, 0) + w * np.log1p(np.exp(-np.minimum(np.abs(x) / w, 80)))


def least(a, b, n):
    ratio = a / b
    return a / np.sqrt(1 + ratio * ratio) if n == 2 else a * (1 + ratio**n) ** (-1 / n)


def currents(c, vg1, vg2, vp):
    """The three currents alone."""
    (P, mu2, mup, Vc, sigma, delta, phi1, G2, n2, D, q, G3, n3, Ib, Is0, nE, W, T0, gamma, Ggk, Gg2, Ggp, Gpk, kelvin) = c
    vt = K * kelvin
    w0 = 1.5 * vt
    isat = Is0 * (kelvin / T0) ** 2 * math.exp(-W / K * (1 / kelvin - 1 / T0))
    vs, vq = rounded(vg2, w0), rounded(vp, w0)
    w = np.sqrt(w0 * w0 + sigma * sigma * vs * vs)
    ve = vg1 + Vc + vg2 / mu2 + vp / mup
    e = rounded(ve, w)
    ie = least(P * e * np.sqrt(e), isat, nE)
    vc1 = rounded(vg1 + phi1, 0.5 * vt)
    quotient = rounded(ve + vc1 - phi1 - vg1, w) / e
    r = delta * np.sqrt(vc1 / vs) * quotient * np.sqrt(quotient)
    go = 1 / (1 + r)
    f = ie * go
    it = least(f, G2 * vs * np.sqrt(vs), n2)
    d = D * (vq / vs) ** q
    inj = it * d / (1 + d)
    pl = least(inj, G3 * vq * np.sqrt(vq) / (1 + inj / Ib), n3)
    ion = gamma * it
    return (
        (ie + f - it) * r * go - ion + Ggk * vg1 + Gg2 * (vg1 - vg2) + Ggp * (vg1 - vp),
        it - pl + Gg2 * (vg2 - vg1),
        pl + ion + Ggp * (vp - vg1) + Gpk * vp,
    )


def sweep(c, volts, out):
    for start in range(0, volts.shape[1], BLOCK):
        part = slice(start, start + BLOCK)
        for row, values in enumerate(evaluate(c, *volts[:, part])):
            out[row, part] = values


def main():
    data = np.frombuffer(sys.stdin.buffer.read(), dtype="<f8")
    count, seconds = int(data[0]), data[1]
    c = [float(x) for x in data[2:26]]
    volts = data[26:].reshape(3, count)
    out = np.empty((12, count))
    sweep(c, volts, out)
    best = 0.0
    until = time.perf_counter() + seconds
    while time.perf_counter() < until:
        start = time.perf_counter()
        sweep(c, volts, out)
        best = max(best, count / (time.perf_counter() - start))
    sys.stdout.buffer.write(np.float64(best).tobytes())
    sys.stdout.buffer.write(out.tobytes())


if __name__ == "__main__":
    main()
