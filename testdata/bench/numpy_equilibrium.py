#!/usr/bin/env python3
"""The NumPy rival for the side hold by equilibrium with shared loads: draws bodies as numpy_baseline.py
does, finds for each, before and after 10 cm more arm, the angle and the division of the weight between the
hands that make the largest use of any capacity smallest, and keeps 20 float32 columns.

For a given angle all six uses are linear in the division, so its best value is an end or a crossing of
two of them; the angle is found on a grid and then by golden sections. Chunked to stay in cache, a process
a core. Capacities are one number each, along the arms and of the shoulders either way, where the program
has curves by joint angle, size and sex.

    numpy_equilibrium.py SURVEY.csv [bodies] [processes] [--save DIR] [--check]
"""
import sys
from itertools import combinations
import numpy as np
import numpy_baseline as base

AXIAL, ADD, ABD = 1.2, .073, .037
GRID = np.radians(np.linspace(12, 78, 23))
CHUNK = 1 << 13


def least(th, L, b, c, m0, ma, k, h):
    """Least over the division of the largest use, at angle th (arrays of one shape)."""
    s, co = np.sin(th), np.cos(th)
    H = (m0 * (L * s + c) + 2 * ma * (1 - k) * L * s) / (b + 2 * L * co)
    ax, ac = H * s / AXIAL, co / AXIAL                       # along the arms: ax + ac*lam, ax + ac*(1-lam)
    m, mc = L * H * co + k * L * s * ma, L * s                # at the shoulders: m - mc*lam, m - mc*(1-lam)
    p, n = ADD * h, ABD * h
    at0 = (ax, ax + ac, m / p, -m / n, (m - mc) / n, -(m - mc) / p)
    slope = (ac, -ac, -mc / p, mc / n, mc / n, -mc / p)
    best = np.full(np.shape(th), np.inf)
    lam = np.zeros(np.shape(th))
    for pair in [None, 1] + list(combinations(range(6), 2)):
        if pair is None or pair == 1:
            t = np.full(np.shape(th), 0. if pair is None else 1.)
        else:
            i, j = pair
            with np.errstate(divide="ignore", invalid="ignore"):
                t = np.clip(np.nan_to_num((at0[j] - at0[i]) / (slope[i] - slope[j])), 0, 1)
        u = at0[0] + slope[0] * t
        for i in range(1, 6):
            np.maximum(u, at0[i] + slope[i] * t, out=u)
        better = u < best
        best = np.where(better, u, best)
        lam = np.where(better, t, lam)
    return best, lam


def optimum(L, b, c, m0, ma, k, h):
    u = np.stack([least(np.full_like(L, t), L, b, c, m0, ma, k, h)[0] for t in GRID])
    i = u.argmin(0)
    step = GRID[1] - GRID[0]
    lo, hi = GRID[i] - step, GRID[i] + step
    r = (5 ** .5 - 1) / 2
    x1, x2 = hi - r * (hi - lo), lo + r * (hi - lo)
    f1, f2 = least(x1, L, b, c, m0, ma, k, h)[0], least(x2, L, b, c, m0, ma, k, h)[0]
    for _ in range(22):
        left = f1 < f2
        hi, lo = np.where(left, x2, hi), np.where(left, lo, x1)
        x = np.where(left, hi - r * (hi - lo), lo + r * (hi - lo))
        f = least(x, L, b, c, m0, ma, k, h)[0]
        x1, x2, f1, f2 = np.where(left, x, x2), np.where(left, x1, x), np.where(left, f, f2), np.where(left, f1, f)
    th = (lo + hi) / 2
    u, lam = least(th, L, b, c, m0, ma, k, h)
    return th, lam, u


def bodies(x):
    st, up, fa, L, b, c, m0, ma = base.segments(x)
    g = 1 + .1 / (up + fa)
    return st, L, b, c, m0, ma, base.centre(up, fa, L, ma), base.centre(up * g, fa * g, L + .1, ma)


def changed(x):
    st, L, b, c, m0, ma, k0, k1 = bodies(x)
    t0, l0, u0 = optimum(L, b, c, m0, ma, k0, st)
    t1, l1, u1 = optimum(L + .1, b, c, m0, ma, k1, st)
    return [*x.T[:10], L, b, c, t0, l0, u0, t1, l1, u1, u1 - u0], u1 / u0 - 1


def run(args):
    return base.drawn(args, CHUNK, changed)


if __name__ == "__main__":
    mean, chol, n, procs, save = base.arguments(200_000)
    if "--check" in sys.argv:
        x = mean[None].copy()
        x[:, 1] = np.exp(x[:, 1])
        st, L, b, c, m0, ma, k0, k1 = bodies(x)
        for name, a, k in (("as is", L, k0), ("arms +10 cm", L + .1, k1)):
            t, l, u = optimum(a, b, c, m0, ma, k, st)
            print(f"{name}: angle {np.degrees(t[0]):.3f}, top share {l[0]:.4f}, difficulty {u[0]:.5f}")
        sys.exit()
    base.timed(run, mean, chol, n, procs, save, lambda change: f"{100 * change:+.3f} %")
