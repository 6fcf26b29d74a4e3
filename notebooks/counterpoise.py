"""What the notebooks have in common: tables of the program, and what it says of them.

Where the environment variable COUNTERPOISE names a built program, its tables are written
anew and whole. Else they are the samples beside this file, so that the notebooks start
without it:

    python3 counterpoise.py            writes the samples anew
    python3 counterpoise.py --check    compares them with what the program writes now
"""

import functools
import json
import os
import pathlib
import subprocess
import sys
import tempfile

import pandas as pd

HERE = pathlib.Path(__file__).resolve().parent
SAMPLE = HERE / "sample"
FRESH = bool(os.environ.get("COUNTERPOISE"))

ARMS = ["replicate", "draw", "people", "verdict", "as_claimed_share", "too_small_share", "against_share",
        "median_effect_percent", "p5_effect_percent", "p95_effect_percent"]
TALL = ["replicate", "draw", "people", "verdict", "median_difference_ratio", "median_bottom_group_ratio", "median_difference_percent"]
BODIES = ["people", "stature_m", "mass_kg", "arm_length_m", "difficulty_ratio", "required_force_bw", "hand_spacing_m"]

POPULATIONS = """
sweep: two-populations
hold: human-flag
model: equilibrium
demands: [difficulty, required_force, hand_spacing]
n: 400
bodies: yes
axes:
  people: [us-women, ansur2-women]
"""

GRID = """
sweep: arms-by-shoulders
hold: human-flag
people: ansur2-men
model: two-condition
demands: [required_force]
n: 4000
quantiles: [50 %]
axes:
  change.arm_length: -10 cm..10 cm by 2 cm
  change.shoulder_breadth: -4 cm..4 cm in 9 values
"""


@functools.cache
def work():
    return pathlib.Path(tempfile.mkdtemp())


def run(*args):
    """What the program prints. Its progress is told only where it fails."""
    result = subprocess.run([os.environ["COUNTERPOISE"], *map(str, args)], capture_output=True, text=True)
    if result.returncode not in (0, 3):  # 3: done, but not settled
        raise RuntimeError(result.stderr)
    return result.stdout


def read(path):
    """A table, by pandas where it has a Parquet engine, else by way of the program's CSV."""
    if path.suffix == ".csv":
        return pd.read_csv(path)
    try:
        return pd.read_parquet(path)
    except ImportError:
        csv = path.with_suffix(".csv")
        csv.write_text(run("data", "csv", path))
        return pd.read_csv(csv)


def _claim(name):
    out = work() / name
    run("claim", "test", name, "--n", 20000, "--out", out)
    draws = read(out / "draws.parquet")
    return json.loads((out / "summary.json").read_text()), draws[draws.people >= 0]


def _sweep(name, text, table):
    study, out = work() / f"{name}.yaml", work() / name
    study.write_text(text)
    run("sweep", study, "--out", out, "--format", "csv")
    return json.loads((out / "summary.json").read_text()), read(out / table)


def _drivers():
    out = work() / "drivers"
    run("drivers", "--hold", "human-flag", "--of", "required_force", "--people", "ansur2-men", "--models", "two-condition", "--out", out)
    return json.loads((out / "summary.json").read_text()), read(out / "design-ansur2-men-two-condition.parquet")


def _told(names, draws):
    return {n: draws[n] for n in names if n in draws}


def _of(population):
    return {"people": population["people"], "verdict": population["verdict"],
            "draws": _told(["n", "agreement", "verdicts", "effect_percent", "people_in_unit"], population["draws"])}


# For each study: how it is run, the columns and rows of its sample, and what of its summary is kept.
STUDIES = {
    "longer-arms": (lambda: _claim("longer-arms"), ARMS, None,
                    lambda s: {**_told(["says", "verdict", "headline", "share"], s), "groups": [_of(p) for p in s["models"][0]["populations"]]}),
    "tall-people": (lambda: _claim("tall-people"), TALL, None,
                    lambda s: {**_told(["says", "verdict", "headline", "share"], s), "groups": [_of(p) for p in s["contrast"]]}),
    "populations": (lambda: _sweep("populations", POPULATIONS, "bodies.csv"), BODIES, None,
                    lambda s: {"people": s["axes"][0]["names"]}),
    "grid": (lambda: _sweep("grid", GRID, "sweep.csv"), None, None, lambda s: {"axes": [a["of"] for a in s["axes"]]}),
    "drivers": (_drivers, None, 250,
                lambda s: {"headline": s["parts"][0]["headline"],
                           "shapley": {i["groups"][0]: _told(["value", "low", "high"], i) for i in s["parts"][0]["shares"]["indices"] if i["kind"] == "shapley"}}),
}


def study(name):
    """What the program says of a study, and its table."""
    if FRESH:
        start, columns, _, kept = STUDIES[name]
        summary, table = start()
        return kept(summary), table if columns is None else table[columns]
    return json.loads((SAMPLE / "told.json").read_text())[name], pd.read_csv(SAMPLE / f"{name}.csv")


def samples():
    """The text of every sample, by its name."""
    texts, told = {}, {}
    for name, (start, columns, rows, kept) in STUDIES.items():
        summary, table = start()
        told[name] = kept(summary)
        table = table if columns is None else table[columns]
        texts[f"{name}.csv"] = (table if rows is None else table.head(rows)).to_csv(index=False, float_format="%.6g")
    texts["told.json"] = json.dumps(told, indent=1, ensure_ascii=False) + "\n"
    return texts


if __name__ == "__main__":
    if not FRESH:
        sys.exit("set COUNTERPOISE to a built program")
    for name, text in samples().items():
        if sys.argv[1:] != ["--check"]:
            SAMPLE.mkdir(exist_ok=True)
            (SAMPLE / name).write_text(text)
        elif (SAMPLE / name).read_text() != text:
            sys.exit(f"notebooks/sample/{name} is not what the program writes now; python3 notebooks/counterpoise.py writes it anew")
    print(f"{len(STUDIES)} samples, {sum(f.stat().st_size for f in SAMPLE.iterdir()):,} bytes")
