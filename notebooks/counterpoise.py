"""What the notebooks have in common: tables of the program, and what it says of them.

Where the environment variable COUNTERPOISE names a built program, its tables are written
anew and whole. Else they are the samples beside this file, so that the notebooks start
without it:

    python3 counterpoise.py            writes the samples anew
    python3 counterpoise.py --check    compares them with what the program writes now
"""

import functools
import gzip
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

ARMS = ["replicate", "people", "verdict", "as_claimed_share", "too_small_share", "against_share",
        "median_effect_percent", "p5_effect_percent", "p95_effect_percent"]
TALL = ["replicate", "people", "verdict", "median_difference_percent"]
BODIES = ["people", "stature_m", "mass_kg", "difficulty_ratio", "required_force_bw", "hand_spacing_m"]

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


def _claim(name, draws):
    out = work() / f"{name}-{draws}"
    run("claim", "test", name, "--n", 20000, "--assumption-draws", draws, "--out", out)
    draws = read(out / "draws.parquet")
    return json.loads((out / "summary.json").read_text()), draws[draws.people >= 0]


def _design(summary_and_table):
    """Without what tells the rows of a design apart."""
    summary, table = summary_and_table
    return summary, table.drop(columns=["replicate", "row", "second_sample", "kept_groups"])


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


# For each study: how it is run, given how many draws of the assumptions claims have; the columns of its table; the rows and the digits
# of its sample; and what of its summary is kept.
DRAWS, FEWEST_DRAWS = 512, 256
STUDIES = {
    "longer-arms": (lambda draws: _claim("longer-arms", draws), ARMS, None, 6,
                    lambda s: {**_told(["says", "verdict", "headline", "share"], s), "groups": [_of(p) for p in s["models"][0]["populations"]]}),
    "tall-people": (lambda draws: _claim("tall-people", draws), TALL, None, 6,
                    lambda s: {**_told(["says", "verdict", "headline", "share"], s), "groups": [_of(p) for p in s["contrast"]]}),
    "populations": (lambda _: _sweep("populations", POPULATIONS, "bodies.csv"), BODIES, None, 5,
                    lambda s: {"people": s["axes"][0]["names"]}),
    "grid": (lambda _: _sweep("grid", GRID, "sweep.csv"), None, None, 6, lambda s: {"axes": [a["of"] for a in s["axes"]]}),
    "drivers": (lambda _: _design(_drivers()), None, 250, 4,
                lambda s: {"headline": s["parts"][0]["headline"],
                           "shapley": {i["groups"][0]: _told(["value", "low", "high"], i) for i in s["parts"][0]["shares"]["indices"] if i["kind"] == "shapley"}}),
}


def study(name):
    """What the program says of a study, and its table."""
    if FRESH:
        start, columns, _, _, kept = STUDIES[name]
        summary, table = start(DRAWS)
        return kept(summary), table if columns is None else table[columns]
    return json.loads((SAMPLE / "told.json").read_text())[name], pd.read_csv(SAMPLE / f"{name}.csv.gz")


def samples():
    """The text of every sample, by its name."""
    texts, told = {}, {}
    for name, (start, columns, rows, digits, kept) in STUDIES.items():
        summary, table = start(FEWEST_DRAWS)
        told[name] = kept(summary)
        table = table if columns is None else table[columns]
        texts[f"{name}.csv.gz"] = (table if rows is None else table.head(rows)).to_csv(index=False, float_format=f"%.{digits}g")
    texts["told.json"] = json.dumps(told, indent=1, ensure_ascii=False) + "\n"
    return texts


def packed(path, text):
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(gzip.compress(text.encode(), mtime=0) if path.suffix == ".gz" else text.encode())


def unpacked(path):
    return (gzip.decompress(path.read_bytes()) if path.suffix == ".gz" else path.read_bytes()).decode()


if __name__ == "__main__":
    if not FRESH:
        sys.exit("set COUNTERPOISE to a built program")
    for name, text in samples().items():
        if sys.argv[1:] != ["--check"]:
            packed(SAMPLE / name, text)
        elif unpacked(SAMPLE / name) != text:
            sys.exit(f"notebooks/sample/{name} is not what the program writes now; python3 notebooks/counterpoise.py writes it anew")
    print(f"{len(STUDIES)} samples, {sum(f.stat().st_size for f in SAMPLE.iterdir()):,} bytes")
