#!/usr/bin/env python3
"""Sobol' indices of the side hold's required force at a fixed arm angle of 41 degrees over 12
independent inputs, by OpenTURNS (Debian's python3-openturns) with a vectorised NumPy model: the
reference for the speed of sensitivity indices. openturns_sobol.py [log2 of the base sample]"""
import sys, time
import numpy as np, openturns as ot

k = int(sys.argv[1]) if len(sys.argv) > 1 else 16
NAMES = ["L", "b", "c", "M0", "k", "drop", "span", "rise", "grip", "top", "slope", "tilt"]
LO = [.58, .32, .42, .89, .46, .06, .74, .00, .45, .3, -.3, -.1]
HI = [.68, .40, .53, .91, .52, .14, 1.0, .03, .65, .7, .3, .1]


def model(x):
    L, b, c, m0, kk, drop, span, rise, grip, top, slope, tilt = np.asarray(x).T
    th = np.radians(41.0)
    L = L - (drop - .104) * .33 + (grip - .55) * .115
    b = b * span / .86
    c = (c + rise - .015) * np.cos(tilt)
    ma = (1 - m0) / 2
    s, co = np.sin(th), np.cos(th)
    d = b + 2 * L * co
    X = m0 * (L * s + c) + 2 * ma * (1 - kk) * L * s
    H = X / d
    A = np.maximum(H * s + top * co, H * s + (1 - top) * co)
    return (A / (1 + slope * (th - .7)))[:, None]


f = ot.PythonFunction(12, 1, func_sample=model)
dist = ot.ComposedDistribution([ot.Uniform(a, b) for a, b in zip(LO, HI)])
t = time.perf_counter()
exp = ot.SobolIndicesExperiment(dist, 2 ** k, False)
x = exp.generate()
y = f(x)
a = ot.SaltelliSensitivityAlgorithm(x, y, 2 ** k)
a.setUseAsymptoticDistribution(True)
first, total = a.getFirstOrderIndices(), a.getTotalOrderIndices()
ci = a.getTotalOrderIndicesInterval()
t = time.perf_counter() - t
print(f"{t:.2f} s  base 2^{k}, {len(y)} evaluations")
for n, s, st in zip(NAMES, first, total):
    print(f"{n:6s} {s:8.4f} {st:8.4f}")
