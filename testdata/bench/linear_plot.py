#!/usr/bin/env python3
"""Draws linear.svg from linear.txt: medians of the rounds, both axes logarithmic."""
import collections, pathlib, statistics
import matplotlib
matplotlib.use("svg")
matplotlib.rcParams["svg.hashsalt"] = "linear"
import matplotlib.pyplot as plt

here = pathlib.Path(__file__).parent
runs = collections.defaultdict(list)
for line in (here / "linear.txt").read_text().splitlines():
    if not line.startswith("#"):
        n, wall, user, system, peak, _ = map(float, line.split())
        runs[n].append((wall, user + system, peak / 1024))
bodies = sorted(runs)
wall, cpu, memory = ([statistics.median(r[k] for r in runs[n]) for n in bodies] for k in range(3))
fig, ax = plt.subplots(figsize=(6.4, 3.6))
for values, label, colour in [(cpu, "CPU seconds", "#0072B2"), (wall, "wall seconds", "#D55E00")]:
    ax.loglog(bodies, values, "o-", color=colour)
    ax.annotate(label, (bodies[-1], values[-1]), xytext=(6, 0), textcoords="offset points", color=colour, va="center")
ax.loglog(bodies[2:], [wall[2] * n / bodies[2] for n in bodies[2:]], ":", color="0.6")
ax.set(xlabel="Bodies", ylabel="Seconds", xlim=(7e4, 6e8))
ax.set_title(f"In step with the bodies from ten million on; memory stays near {max(memory):.0f} MB", fontsize=10, loc="left")
for side in ["top", "right"]:
    ax.spines[side].set_visible(False)
fig.tight_layout()
fig.savefig(here / "linear.svg", metadata={"Date": None})
