#!/usr/bin/env python3
"""Compares sim/drivers and the Sobol' sequence with other people's programs, and fails where they
disagree. Needs Debian's python3-openturns and python3-scipy, and go.

    /usr/bin/python3 internal/crosscheck/crosscheck.py

Points of the sequence must be equal to SciPy's, what can be computed exactly (NumPy, by linear
algebra, quadrature or complex steps) must lie in our 99.9 % intervals, and estimates of OpenTURNS,
repeated with independent samples, must agree within the 99.9 % interval of the difference.
"""
import itertools, json, math, pathlib, subprocess, sys
import numpy as np, openturns as ot
from scipy import stats
from scipy.stats import qmc

CONFIDENCE = 0.999
RUNS, SIZE = 16, 2**13  # of OpenTURNS

failures = 0
checks = 0


def check(ok, text):
    global failures, checks
    checks += 1
    if not ok:
        failures += 1
        print("DISAGREE", text)


# The functions, vectorised, of inputs on (0, 1).

def ishigami(u):
    x = math.pi * (2 * u - 1)
    return np.sin(x[:, 0]) + 7 * np.sin(x[:, 1]) ** 2 + .1 * x[:, 2] ** 4 * np.sin(x[:, 0])


def g(u):
    a = np.array([0, .5, 3, 9])
    return ((abs(4 * u - 2) + a) / (1 + a)).prod(axis=1)


LOW = np.array([.58, .32, .42, .89, .46, .06, .74, .00, .45, .3, -.3, -.1])
HIGH = np.array([.68, .40, .53, .91, .52, .14, 1.0, .03, .65, .7, .3, .1])


def force(u):
    L, b, c, m, k, drop, span, rise, grip, top, slope, tilt = (LOW + u * (HIGH - LOW)).T
    angle = math.radians(41)
    s, co = math.sin(angle), math.cos(angle)
    L = L - (drop - .104) * .33 + (grip - .55) * .115
    b = b * span / .86
    c = (c + rise - .015) * np.cos(tilt)
    arm = (1 - m) / 2
    H = (m * (L * s + c) + 2 * arm * (1 - k) * L * s) / (b + 2 * L * co)
    share = np.where(top.real > .5, top, 1 - top)
    return (H * s + share * co) / (1 + slope * (angle - .7))


def openturns(f, d, second):
    """Mean and half-width of each index over independent runs."""
    dist = ot.ComposedDistribution([ot.Uniform(0, 1)] * d)
    runs = {}
    for run in range(RUNS):
        ot.RandomGenerator.SetSeed(1000 + run)
        x = ot.SobolIndicesExperiment(dist, SIZE, second).generate()
        y = f(np.asarray(x))
        y = ot.Sample((y - y.mean())[:, None])
        saltelli = ot.SaltelliSensitivityAlgorithm(x, y, SIZE)
        jansen = ot.JansenSensitivityAlgorithm(x, y, SIZE)
        for i in range(d):
            name = f"x{i+1}"
            runs.setdefault(("first", name), []).append(saltelli.getFirstOrderIndices()[i])
            runs.setdefault(("total", name), []).append(jansen.getTotalOrderIndices()[i])
        if second:
            s2 = saltelli.getSecondOrderIndices()
            for i, j in itertools.combinations(range(d), 2):
                runs.setdefault(("second", f"x{i+1}", f"x{j+1}"), []).append(s2[i, j])
    t = stats.t.ppf((1 + CONFIDENCE) / 2, RUNS - 1)
    return {k: (np.mean(v), t * np.std(v, ddof=1) / math.sqrt(RUNS)) for k, v in runs.items()}


def explained_linear(beta, cov):
    def explained(S):
        S, T = list(S), [i for i in range(len(beta)) if i not in S]
        c = beta[S] + np.linalg.solve(cov[np.ix_(S, S)], cov[np.ix_(S, T)]) @ beta[T] if S else np.zeros(0)
        return c @ cov[np.ix_(S, S)] @ c if S else 0.0
    return explained


def explained_curved(cov):
    """Var(E[Y | X_S]) of Y = x1 x2 + 0.6 x3^2 + x4 by Gauss-Hermite quadrature, exact for polynomials."""
    def f(x):
        return x[..., 0] * x[..., 1] + .6 * x[..., 2] ** 2 + x[..., 3]
    nodes, weights = np.polynomial.hermite_e.hermegauss(4)
    weights = weights / weights.sum()

    def grid(n):
        z = np.array(list(itertools.product(nodes, repeat=n))).reshape(len(nodes) ** n, n)
        w = np.array([math.prod(p) for p in itertools.product(weights, repeat=n)])
        return z, w

    def explained(S):
        S, T = list(S), [i for i in range(len(cov)) if i not in S]
        zs, ws = grid(len(S))
        zt, wt = grid(len(T))
        x = np.zeros((len(zs), len(zt), len(cov)))
        xs = zs @ np.linalg.cholesky(cov[np.ix_(S, S)]).T if S else zs
        for a, i in enumerate(S):
            x[:, :, i] = xs[:, a][:, None]
        if T:
            B = np.linalg.solve(cov[np.ix_(S, S)], cov[np.ix_(S, T)]).T if S else np.zeros((len(T), 0))
            rest = cov[np.ix_(T, T)] - (B @ cov[np.ix_(S, T)] if S else 0)
            xt = zt @ np.linalg.cholesky(rest).T
            for b, j in enumerate(T):
                x[:, :, j] = (xs @ B.T)[:, b][:, None] + xt[:, b][None, :]
        m = f(x) @ wt
        return ws @ m**2 - (ws @ m) ** 2
    return explained


def exact_indices(explained, d):
    everything = explained(range(d))
    c = {frozenset(S): explained(S) / everything for n in range(d + 1) for S in itertools.combinations(range(d), n)}
    out = {}
    for i in range(d):
        others = [j for j in range(d) if j != i]
        name = f"x{i+1}"
        out["shapley", name] = sum(
            (c[frozenset(S) | {i}] - c[frozenset(S)]) / (d * math.comb(d - 1, n))
            for n in range(d) for S in itertools.combinations(others, n))
        out["full first", name] = c[frozenset([i])]
        out["independent total", name] = 1 - c[frozenset(others)]
    return out


def main():
    root = pathlib.Path(__file__).resolve().parents[2]
    ours = json.loads(subprocess.run(["go", "run", "./internal/crosscheck"], cwd=root, check=True, stdout=subprocess.PIPE).stdout)

    points = np.array(ours["Points"])
    theirs = qmc.Sobol(points.shape[1], scramble=False).random(len(points))
    check((points == theirs).all(), f"Sobol' points: {np.argwhere(points != theirs)[:3]}")
    print(f"Sobol' sequence: {points.shape[0]} points in {points.shape[1]} dimensions, SciPy's")

    for name, f, d, second in [("ishigami", ishigami, 3, True), ("g", g, 4, True), ("force", force, 12, False)]:
        reference = openturns(f, d, second)
        for i in ours["Sobol"][name]:
            value, half = reference[(i["Kind"], *i["Groups"])]
            allowed = math.hypot(half, i["HalfWide"])
            check(abs(i["Value"] - value) <= allowed,
                  f"{name}: {i['Kind']} {i['Groups']}: {i['Value']:.5f} ± {i['HalfWide']:.5f}, OpenTURNS {value:.5f} ± {half:.5f}")
        check({(i["Kind"], *i["Groups"]) for i in ours["Sobol"][name]} == set(reference), f"{name}: not all indices are there")
        print(f"{name}: {len(ours['Sobol'][name])} indices, OpenTURNS {ot.__version__}")

    beta = np.array(ours["Gaussian"]["beta"])
    cov = np.array(ours["Gaussian"]["covariance"]).reshape(len(beta), -1)
    for name, explained in [("linear", explained_linear(beta, cov)), ("curved", explained_curved(cov))]:
        exact = exact_indices(explained, len(beta))
        compared = set()
        for i in ours["Shapley"][name]:
            key = (i["Kind"], *i["Groups"])
            if key in exact:
                compared.add(key)
                check(abs(i["Value"] - exact[key]) <= i["HalfWide"] + 1e-9,
                      f"{name}: {key}: {i['Value']:.5f} ± {i['HalfWide']:.5f}, exact {exact[key]:.5f}")
        check(compared == set(exact), f"{name}: not all indices are there: {set(exact) - compared}")
        print(f"{name}, dependent inputs: {len(compared)} indices, exact by NumPy")

    # Total indices and their intervals once more, from the rows that the sink got.
    r = ours["Recomputable"]
    y = {}
    for row in r["Rows"]:
        y[row["Replicate"], row["Second"], tuple(row["Kept"])] = np.array(row["Response"])
    d = 4
    everything = (True,) * d
    replicates = 1 + max(k[0] for k in y)
    t = stats.t.ppf((1 + r["Confidence"]) / 2, replicates - 1)
    variance = np.array([np.mean((y[n, False, everything] - y[n, True, everything]) ** 2) / 2 for n in range(replicates)])
    for i in range(d):
        kept = tuple(j != i for j in range(d))
        top = np.array([np.mean((y[n, False, everything] - y[n, False, kept]) ** 2) / 2 for n in range(replicates)])
        value = top.mean() / variance.mean()
        half = t * np.std(top - value * variance, ddof=1) / math.sqrt(replicates) / variance.mean()
        got = next(x for x in r["Indices"] if x["Kind"] == "total" and x["Groups"] == [f"x{i+1}"])
        check(abs(got["Value"] - value) < 1e-12 and abs(got["HalfWide"] - half) < 1e-9 * half,
              f"total of x{i+1} from the rows: {got} against {value} ± {half}")
    print(f"total indices and intervals recomputed from {sum(len(v) for v in y.values())} rows, SciPy's t")

    at = np.array(ours["SlopesAt"])
    for i, s in enumerate(ours["Slopes"]):
        z = at.astype(complex)
        z[i] += 1e-30j
        exact = force(z[None, :])[0].imag / 1e-30
        check(abs(s["Derivative"] - exact) <= min(s["Error"], 1e-9 * abs(exact)) and not s["Kink"],
              f"slope by x{i+1}: {s['Derivative']!r} ± {s['Error']:.1e}, complex step {exact!r}")
    print(f"{len(ours['Slopes'])} slopes to 1e-9, complex steps by NumPy")

    print(f"{checks - failures} of {checks} checks agree")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
