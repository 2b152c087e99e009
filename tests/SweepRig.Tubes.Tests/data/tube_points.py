"""Currents of the tube model in 50-digit arithmetic (mpmath), as data for the tests.

Written from the formulas alone, without the rounding care of the C# code, which 50 digits make needless.
Run: python3 tube_points.py > tube_points_50_digits.csv   (needs mpmath)
"""
from mpmath import mp, mpf, exp, log, sqrt

mp.dps = 50

COMMON = dict(delta=".40", phi1=".30", n2="2", n3="2", nE="2", T0="1050", W="1.05", Vh0="6.3", mh=".40",
              Ggk="1e-9", Gg2="1e-10", Ggp="1e-10", Gpk="1e-9")
AU6 = dict(COMMON, P="2.85e-3", mu2="44.2", mup="12700", Vc=".636", sigma="5.22e-3", G2="1.93e-4", D="2.41", q=".055",
           G3="2.24e-4", Ib="23.9e-3", Is0=".120", gamma="0")
BH6 = dict(COMMON, P="4.10e-3", mu2="79.3", mup="6260", Vc=".617", sigma="8.47e-3", G2="1.92e-4", D="2.54", q=".037",
           G3="2.23e-4", Ib="25.2e-3", Is0=".080", gamma="0")
WEAK = dict(AU6, P="2.28e-3", Vc=".400", Is0=".012", gamma="2e-4")
# Sharpness other than 2, so that the general power of the rounded minimum is checked as well.
SHARP = dict(WEAK, n2="3.5", n3="1.4", nE="5")
TUBES = {"6BH6": BH6, "weak": WEAK, "sharp": SHARP}


def positive(x, w):
    z = abs(x) / w
    return (x + abs(x)) / 2 + w * log(1 + exp(-min(z, mpf(80))))


def smaller(a, b, n):
    return a * (1 + (a / b) ** n) ** (-1 / n)


def currents(tube, vh, vg1, vg2, vp):
    c = {name: mpf(text) for name, text in tube.items()}
    k = mpf("8.617333262e-5")
    t = c["T0"] * (vh / c["Vh0"]) ** c["mh"]
    vt = k * t
    vs, vq = positive(vg2, 1.5 * vt), positive(vp, 1.5 * vt)
    w = sqrt((1.5 * vt) ** 2 + (c["sigma"] * vs) ** 2)
    ve = vg1 + c["Vc"] + vg2 / c["mu2"] + vp / c["mup"]
    i0 = c["P"] * positive(ve, w) ** mpf("1.5")
    isat = c["Is0"] * (t / c["T0"]) ** 2 * exp(-c["W"] / k * (1 / t - 1 / c["T0"]))
    ie = smaller(i0, isat, c["nE"])
    vc1 = positive(vg1 + c["phi1"], vt / 2)
    held = c["P"] * positive(ve + vc1 - c["phi1"] - vg1, w) ** mpf("1.5")
    r = c["delta"] * sqrt(vc1 / vs) * held / i0
    forward = ie / (1 + r)
    it = smaller(forward, c["G2"] * vs ** mpf("1.5"), c["n2"])
    ig1 = (ie + forward - it) * r / (1 + r)
    d = c["D"] * (vq / vs) ** c["q"]
    injected = it * d / (1 + d)
    ip = smaller(injected, c["G3"] * vq ** mpf("1.5") / (1 + injected / c["Ib"]), c["n3"])
    ion = c["gamma"] * it
    return (ig1 - ion + c["Ggk"] * vg1 + c["Gg2"] * (vg1 - vg2) + c["Ggp"] * (vg1 - vp),
            it - ip + c["Gg2"] * (vg2 - vg1),
            ip + ion + c["Ggp"] * (vp - vg1) + c["Gpk"] * vp)


print("tube,Vh,Vg1,Vg2,Vp,Ig1,Ig2,Ip")
POINTS = [(6.3, -12, 24, 24), (6.3, -2, 24, 24), (6.3, -1, 24, 12), (6.3, -0.5, 24, 6), (6.3, -0.3, 24, 24), (6.3, 0, 24, 24),
          (6.3, 0, 28, 5), (6.3, 0.5, 24, 4), (6.3, 1, 24, 5), (6.3, 2, 24, 5), (6.3, 3.2, 23.5, 5), (6.3, 5, 24, 3),
          (6.3, 0, 24, 0), (6.3, 0, 24, -1), (6.3, 0, 5, 5), (6.3, 2, 4.7, 4.7), (6.3, 4, 1, 1), (6.3, -3, 150, 250),
          (6.3, -1, 150, 250), (5.0, 0, 24, 24), (5.0, 2, 24, 6), (4.0, -0.5, 28, 10), (7.0, 1, 60, 60), (6.3, -60, 28, 28)]
for name, tube in TUBES.items():
    for vh, *volts in POINTS:
        values = currents(tube, mpf(str(vh)), *(mpf(str(v)) for v in volts))
        print(",".join([name, str(vh), *map(str, volts), *(mp.nstr(v, 17) for v in values)]))
