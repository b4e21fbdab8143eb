"""Writes round.csv, which tests/loops.rs compares the crate with, row by row: what a dissolved thing settles at in every mixed
body of random loops of tanks, settlers, beds and sumps.

Nothing here comes from the crate. Every loop is integrated in time with scipy's ODE solver until nothing moves; where no body
is empty and no uptake is at its most, it is solved once more as a linear system with numpy, and the two have to agree.

Run it in a virtual environment of its own, outside the repository:

    python3 -m venv VENV
    VENV/bin/pip install -r tests/reference/requirements_round.txt
    VENV/bin/python tests/reference/make_round.py            # writes the table beside this file
    VENV/bin/python tests/reference/make_round.py --check    # writes nothing; fails if the file would change

Lists stand in one cell with spaces between; a way is from>to=flow. Numbers carry 9 significant digits. A second run gives the
same bytes.
"""

import random
import sys
from pathlib import Path

import numpy as np
import scipy
from scipy.integrate import solve_ivp

from tables import r9

FILE = Path(__file__).resolve().parent / "round.csv"
# What is taken "as far as there is any" is taken in proportion below this content, so that the ODE has a slope there, g/m3.
SMEAR = 1e-6


def loop(rng, kind):
    """A random loop: bodies as dicts, ways as (from, to, m3/h)."""
    tanks, beds, settler = rng.randint(1, 4), rng.randint(0, 2), rng.random() < 0.5
    oxygen = kind == "oxygen"
    saturation = r9(rng.uniform(6.5, 12.0))
    poor = rng.random() < 0.25
    bodies = []

    def body(**more):
        bodies.append({"gain": 0.0, "outside": 0.0, "fall": 0.0, "saturation": 0.0, "made": 0.0, "taken": 0.0, "full": 0.0, "full_at": 0.0} | more)
        return len(bodies) - 1

    at = []
    for _ in range(tanks):
        if oxygen:
            taken = rng.uniform(0.5, 12.0) * (3.0 if poor else 1.0)
            at.append(body(gain=r9(rng.uniform(0.05, 4.0)), outside=r9(saturation * rng.uniform(0.95, 1.03)), fall=r9(rng.choice([0.0, rng.uniform(0.0, 0.35)])), saturation=saturation, taken=r9(taken)))
        else:
            at.append(body(made=r9(rng.uniform(0.02, 0.5))))
    down = []
    if settler:
        down.append(body())
    filters = []
    for _ in range(beds):
        if oxygen:
            filters.append(body(gain=r9(rng.uniform(0.0, 1.0)), outside=saturation, taken=r9(rng.uniform(0.0, 5.0) * (3.0 if poor else 1.0))))
        else:
            filters.append(body(full=r9(rng.uniform(0.05, 1.0)), full_at=1.0))
    if oxygen:
        sump = body(gain=r9(rng.uniform(0.0, 0.1)), outside=saturation)
    else:
        sump = body(full=r9(rng.uniform(0.02, 0.4)), full_at=1.0)
    ways = []
    series = tanks > 1 and rng.random() < 0.4
    flows = [r9(rng.uniform(0.2, 3.0))] * tanks if series else [r9(rng.uniform(0.2, 3.0)) for _ in range(tanks)]
    first = down[0] if down else None
    total = flows[0] if series else sum(flows)
    for i, t in enumerate(at):
        if not series or i == 0:
            ways.append((sump, t, flows[i]))
        if series and i + 1 < tanks:
            ways.append((t, at[i + 1], flows[0]))
        else:
            onward([t], flows[0] if series else flows[i], first, filters, sump, ways)
    if first is not None:
        onward([first], total, None, filters, sump, ways)
    for f in filters:
        ways.append((f, sump, sum(q for _, to, q in ways if to == f)))
    return bodies, ways


def onward(froms, q, settler, filters, sump, ways):
    to = [settler] if settler is not None else (filters or [sump])
    for f in froms:
        for t in to:
            ways.append((f, t, q / len(to)))


def rate(bodies, ways, c, smear=SMEAR):
    out = np.zeros(len(bodies))
    for i, b in enumerate(bodies):
        out[i] += b["gain"] * (b["outside"] - c[i]) + b["made"]
        out[i] -= b["taken"] * min(1.0, max(c[i], 0.0) / smear)
        if b["full"] > 0.0:
            out[i] -= b["full"] * min(1.0, c[i] / b["full_at"])
    for a, b, q in ways:
        e, cs = bodies[b]["fall"], bodies[b]["saturation"]
        out[b] += q * ((1.0 - e) * c[a] + e * cs)
        out[a] -= q * c[a]
    return out


def settle(bodies, ways):
    """The long-time limit; every body of 0.5 m3."""
    c = np.full(len(bodies), 4.0)
    for _ in range(12):
        s = solve_ivp(lambda _, c: rate(bodies, ways, c) / 0.5, (0.0, 400.0), c, method="Radau", rtol=1e-10, atol=1e-13)
        assert s.success, s.message
        c = s.y[:, -1]
        if np.abs(rate(bodies, ways, c)).max() < 1e-9:
            return c
    return None


def linear(bodies, ways):
    n = len(bodies)
    a, r = np.zeros((n, n)), np.zeros(n)
    for i, b in enumerate(bodies):
        a[i, i] += b["gain"] + (b["full"] / b["full_at"] if b["full"] > 0.0 else 0.0)
        r[i] += b["gain"] * b["outside"] + b["made"] - b["taken"]
    for f, t, q in ways:
        e, cs = bodies[t]["fall"], bodies[t]["saturation"]
        a[f, f] += q
        a[t, f] -= q * (1.0 - e)
        r[t] += q * e * cs
    return np.linalg.solve(a, r)


def rows():
    rng = random.Random(20251)
    made, empty, full = 0, 0, 0
    while made < 80:
        kind = "oxygen" if made < 50 else "ammonia"
        bodies, ways = loop(rng, kind)
        ways = [(a, b, r9(q)) for a, b, q in ways]
        # Rounding must not make or lose water: what leaves a body is what comes to it.
        for i in range(len(bodies)):
            come, go = sum(q for _, b, q in ways if b == i), sum(q for a, _, q in ways if a == i)
            assert abs(come - go) < 1e-7, (come, go)
        c = settle(bodies, ways)
        if c is None or c.max() > 100.0:
            continue
        inner = all(x > 1e-3 or b["taken"] == 0.0 for x, b in zip(c, bodies)) and all(x < b["full_at"] for x, b in zip(c, bodies) if b["full"] > 0.0)
        if inner:
            again = linear(bodies, ways)
            assert np.abs(again - c).max() < 1e-6, (again, c)
            c = again
        else:
            empty += any(x < 1e-3 and b["taken"] > 0.0 for x, b in zip(c, bodies))
            full += any(b["full"] > 0.0 and x > b["full_at"] for x, b in zip(c, bodies))
        made += 1
        lists = [" ".join("%.9g" % b[k] for b in bodies) for k in ("gain", "outside", "fall", "saturation", "made", "taken", "full", "full_at")]
        yield [kind, "linear" if inner else "ode", " ".join(f"{a}>{b}={q:.9g}" for a, b, q in ways), *lists, " ".join("%.9g" % max(x, 0.0) for x in c)]
    assert empty >= 5 and full >= 3, (empty, full)


def text():
    names = ["kind", "by", "ways_m3_h", "gain_m3_h", "outside_g_m3", "fall_e", "saturation_g_m3", "made_g_h", "taken_g_h", "full_g_h", "full_at_g_m3", "settled_g_m3"]
    head = [
        f"# source: long-time limit of mixed bodies in a loop, every body of 0.5 m3 (scipy {scipy.__version__} solve_ivp, Radau), and where no body is empty and no uptake at its most the linear system (numpy {np.__version__} linalg.solve), which agree within 1e-6 g/m3",
        "# columns: lists with spaces between, body by body; a way is from>to=flow; units stand in the names",
        ",".join(names),
    ]
    return "\n".join(head + [",".join(r) for r in rows()]) + "\n"


if __name__ == "__main__":
    new = text()
    if "--check" in sys.argv:
        sys.exit(0 if FILE.read_text() == new else f"{FILE.name} would change")
    FILE.write_text(new)
