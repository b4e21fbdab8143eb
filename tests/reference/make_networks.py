"""Writes the tables that tests/networks.rs compares the crate with, row by row: pumps with branched supply pipes, siphons
and tanks that drain.

Nothing here comes from the crate. The networks are solved twice: by EPANET (the US EPA's general network solver, through
the toolkit that comes with WNTR) and by Newton-like iteration on the continuity of all nodes (scipy). What drains is
integrated with scipy's ODE solver.

Run it in a virtual environment of its own, outside the repository:

    python3 -m venv VENV
    VENV/bin/pip install -r tests/reference/requirements_networks.txt
    VENV/bin/python tests/reference/make_networks.py            # writes the tables beside this file
    VENV/bin/python tests/reference/make_networks.py --check    # writes nothing; fails if a file would change

Every file opens with comment lines (`# source:` and `# columns:` with units), then a line of column names, then the
rows. Numbers carry 9 significant digits. A second run gives the same bytes.
"""

import math
import random
import sys
import tempfile
from pathlib import Path

import fluids
import scipy
import scipy.optimize
import wntr
from fluids.friction import Churchill_1977
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from wntr.epanet.toolkit import ENepanet
from wntr.epanet.util import EN

from tables import main, r9

HERE = Path(__file__).resolve().parent
G = 9.80665  # m/s2, standard acceleration of free fall (CGPM 1901)
NU = 1.0034e-6  # m2/s, water at 20 degC
ROUGH = 1.5e-6  # m, new plastic
EPANET_NU = 1.1e-5 * 0.3048**2  # m2/s, EPANET's reference viscosity (1.1e-5 ft2/s)
VERSIONS = f"scipy {scipy.__version__}, fluids {fluids.__version__}"


TABLES = {}


def table(name, sources, columns):
    """Declares a table: `columns` is a list of (name, unit)."""

    def wrap(rows):
        TABLES[name] = (sources, columns, rows)
        return rows

    return wrap


def lost_heads(v, d, length, k):
    return Churchill_1977(max(v, 1e-12) * d / NU, ROUGH / d) * length / d + k


def link_flow(h, d, length, k):
    """Flow through a full pipe under a head of either sign."""
    if h == 0.0:
        return 0.0
    size = abs(h)
    top = math.sqrt(2 * G * size / max(k, 1e-3))
    v = brentq(lambda v: lost_heads(v, d, length, max(k, 1e-3)) * v * v / (2 * G) - size, 0.0, top * (1 + 1e-9), xtol=1e-300, rtol=1e-14)
    return math.copysign(v * math.pi / 4 * d * d, h)


# ---------------------------------------------------------------- networks

# A tree as nested lists: a number is an outlet, a list is a tee with its own trunk.
SHAPES = {
    "one": 0,
    "two": [0, 1],
    "three": [0, 1, 2],
    "four": [0, 1, 2, 3],
    "run_of_two": [0, [1, 2]],
    "run_of_three": [0, [1, [2, 3]]],
    "pair_of_pairs": [[0, 1], [2, 3]],
    "pair_first": [[0, 1], 2],
}


def links(shape):
    """(from node, to node or None, trunk or outlet index) of a shape; node 0 is behind the pump."""
    found, tees = [], 0

    def walk(part, at):
        nonlocal tees
        if isinstance(part, int):
            found.append((at, None, part))
            return
        tees += 1
        me = tees
        found.append((at, me, me - 1))
        for p in part:
            walk(p, me)

    walk(shape, 0)
    return found, tees


def epanet(case):
    """Flow of the pump and of every outlet, m3/s."""
    found, tees = links(SHAPES[case["shape"]])
    h0, qm, n = case["h0"], case["qm"], case["n"]
    q = [0.5 * qm, 0.9 * qm]
    h = [h0 * (1 - (x / qm) ** n) for x in q]
    lines = ["[JUNCTIONS]"] + [f"N{i} 0 0" for i in range(tees + 1)]
    lines += ["[RESERVOIRS]", f"S {case['z_sump']:.12g}"]
    used = [e for e in found if e[1] is None]
    lines += [f"O{i} {case['outlets'][i][0]:.12g}" for _, _, i in used]
    lines += ["[PIPES]"]
    names = []
    for a, b, i in found:
        if b is None:
            z, d, length, k, mouth = case["outlets"][i]
            status = "CV" if mouth == "air" else "Open"
            lines.append(f"L{i} N{a} O{i} {length:.12g} {d * 1e3:.12g} {ROUGH * 1e3:.12g} {k:.12g} {status}")
            names.append(i)
        else:
            d, length, k = case["trunks"][i]
            lines.append(f"T{i} N{a} N{b} {length:.12g} {d * 1e3:.12g} {ROUGH * 1e3:.12g} {k:.12g} Open")
    lines += ["[PUMPS]", "P S N0 HEAD C", "[CURVES]", f"C 0 {h0:.12g}"]
    lines += [f"C {q[j] * 3600:.12g} {h[j]:.12g}" for j in (0, 1)]
    lines += [
        "[OPTIONS]", "UNITS CMH", "HEADLOSS D-W", f"VISCOSITY {NU / EPANET_NU:.12g}", "ACCURACY 1e-5", "TRIALS 400",
        "FLOWCHANGE 1e-9", "HEADERROR 1e-7", "[TIMES]", "DURATION 0", "[REPORT]", "STATUS NO", "[END]",
    ]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "n"
        path.with_suffix(".inp").write_text("\n".join(lines) + "\n")
        net = ENepanet()
        net.ENopen(str(path.with_suffix(".inp")), str(path.with_suffix(".rpt")), str(path.with_suffix(".bin")))
        net.ENopenH()
        net.ENinitH(0)
        net.ENrunH()
        pick = lambda name: net.ENgetlinkvalue(net.ENgetlinkindex(name), EN.FLOW) / 3600
        total, flows = pick("P"), {i: pick(f"L{i}") for i in names}
        net.ENcloseH()
        net.ENclose()
    return total, [flows[i] for i in sorted(flows)]


def nodes(case, start):
    """The same by the continuity of every node, from EPANET's flows on."""
    found, tees = links(SHAPES[case["shape"]])
    h0, qm, n, sump = case["h0"], case["qm"], case["n"], case["z_sump"]

    def out(i, head):
        z, d, length, k, mouth = case["outlets"][i]
        return 0.0 if mouth == "air" and head <= z else link_flow(head - z, d, length, k)

    def pumped(head):
        return qm * max(0.0, 1 - max(head - sump, 0.0) / h0) ** (1 / n)

    def balance(heads):
        net = [0.0] * (tees + 1)
        net[0] += pumped(heads[0])
        for a, b, i in found:
            if b is None:
                net[a] -= out(i, heads[a])
            else:
                q = link_flow(heads[a] - heads[b], *case["trunks"][i])
                net[a] -= q
                net[b] += q
        return [x / qm for x in net]

    # Heads that belong to EPANET's flows: down from the pump.
    total, flows = start
    heads = [0.0] * (tees + 1)
    heads[0] = sump + h0 * (1 - min(max(total, 0.0) / qm, 1.0) ** n)

    def below(node):
        return sum(flows[i] if b is None else below(b) for a, b, i in found if a == node)

    for a, b, i in found:
        if b is not None:
            d, length, k = case["trunks"][i]
            q = below(b)
            v = abs(q) / (math.pi / 4 * d * d)
            heads[b] = heads[a] - math.copysign(lost_heads(v, d, length, k) * v * v / (2 * G), q)
    if tees == 0:
        low = min(case["outlets"][0][0], sump)
        heads = [brentq(lambda h: balance([h])[0], low, sump + h0, xtol=1e-300, rtol=1e-14)]
    else:
        best = None
        for nudge in (0.0, 1e-4, -1e-4, 1e-3, -1e-3, 1e-2, -1e-2):
            found_root = scipy.optimize.root(balance, [h + nudge * (j + 1) for j, h in enumerate(heads)], method="hybr", tol=1e-13)
            miss = max(abs(x) for x in balance(found_root.x))
            if best is None or miss < best[0]:
                best = (miss, list(found_root.x))
            if miss < 1e-9:
                break
        if best[0] > 1e-8:
            raise SystemExit(f"no balance: {best[0]} in {case}")
        heads = best[1]
    outlets = {i: out(i, heads[a]) for a, b, i in found if b is None}
    return pumped(heads[0]), [outlets[i] for i in sorted(outlets)]


BORES = [0.0127, 0.01529, 0.0159, 0.017, 0.0191, 0.02042, 0.022, 0.025, 0.02614, 0.0284, 0.032, 0.03454, 0.0362, 0.04039]


def random_case(dice):
    shape = dice.choice(list(SHAPES))
    h0 = r9(round(dice.uniform(0.8, 8.0), 2))
    qm = r9(round(math.exp(dice.uniform(math.log(500), math.log(15000)))) / 3.6e6)
    z_sump = r9(round(dice.uniform(-0.3, 0.1), 2))

    def pipe(least):
        bore = dice.choice([b for b in BORES if b >= least])
        return bore, r9(round(dice.uniform(0.2, 8.0), 1)), r9(round(dice.uniform(0.3, 12.0), 2))

    wide = 0.017 if qm < 2000 / 3.6e6 else 0.025
    outlets = []
    for _ in range(4):
        bore, length, k = pipe(0.0127)
        z = r9(round(dice.uniform(0.0, 1.1) * h0 + z_sump, 2))
        outlets.append((z, bore, length, r9(k + 1.0), dice.choice(["air", "air", "air", "water"])))
    trunks = [pipe(wide) for _ in range(3)]
    return {"shape": shape, "h0": h0, "qm": qm, "n": r9(dice.choice([2.0, 2.0, 1.5, 1.8])), "z_sump": z_sump, "outlets": outlets, "trunks": trunks}


@table(
    "networks.csv",
    [
        "random pumps H = h0 (1 - (Q/qm)^n) in a sump, feeding trees of pipes, tees and one to four outlets; an outlet in air lets nothing back "
        "(a check valve there), one under water does",
        f"epanet_*: EPANET through the toolkit of WNTR {wntr.__version__}: Darcy-Weisbach with its own friction factor (Hagen-Poiseuille below Re 2000, a cubic "
        "to 4000, Swamee-Jain above), single precision",
        f"flow*: continuity of every node by scipy.optimize.root (hybr; a single pipe by brentq) with Churchill's friction factor ({VERSIONS})",
        "roughness 1.5e-6 m, kinematic viscosity 1.0034e-6 m2/s; shapes: a number of outlets on one tee; run_of_two: outlet 1, then a tee with 2 and 3; "
        "run_of_three: outlet 1, then a tee with 2 and a tee with 3 and 4; pair_of_pairs: two tees with 1 and 2, 3 and 4; pair_first: a tee with 1 and 2, then 3",
        "one: the outlet's own pipe from the pump; the first trunk leads to the first tee; columns beyond the shape hold pipes that are not there",
    ],
    [("shape", "word"), ("h0_m", "m"), ("qm_m3_s", "m3/s"), ("exponent", "1"), ("z_sump_m", "m")]
    + [(f"trunk{i}_{what}", unit) for i in (1, 2, 3) for what, unit in (("bore_m", "m"), ("length_m", "m"), ("k", "1"))]
    + [
        (f"out{i}_{what}", unit)
        for i in (1, 2, 3, 4)
        for what, unit in (("z_m", "m"), ("bore_m", "m"), ("length_m", "m"), ("k", "1"), ("mouth", "word"))
    ]
    + [(f"{who}{what}_m3_s", "m3/s") for who in ("flow", "epanet") for what in ("", "1", "2", "3", "4")],
)
def networks():
    dice = random.Random(19770)
    count = 0
    while count < 320:
        case = random_case(dice)
        used = sorted(i for _, b, i in links(SHAPES[case["shape"]])[0] if b is None)
        zs = [case["outlets"][i][0] for i in used]
        # A pump that cannot push to its lowest outlet, or hardly, is no network (and EPANET then stops at a warning).
        if min(zs) > case["z_sump"] + 0.95 * case["h0"] or min(zs) < case["z_sump"]:
            continue
        theirs = epanet(case)
        if theirs[0] <= 0.02 * case["qm"] or theirs[0] >= 0.995 * case["qm"]:
            continue
        ours = nodes(case, theirs)
        pad = lambda flows: [flows[used.index(i)] if i in used else 0.0 for i in range(4)]
        row = [case["shape"], case["h0"], case["qm"], case["n"], case["z_sump"]]
        row += [x for t in case["trunks"] for x in t] + [x for o in case["outlets"] for x in o]
        row += [ours[0], *pad(ours[1]), theirs[0], *pad(theirs[1])]
        count += 1
        yield tuple(row)


# ---------------------------------------------------------------- what drains


@table(
    "siphon_drain.csv",
    [
        "a bed of free area A drained by a siphon against an inflow, A dy/dt = q_in - q_s(y), y from y1 to y2 over the outlet, by scipy solve_ivp (DOP853) to an event",
        f"time_s: q_s from the energy equation with Churchill's friction at every y ({VERSIONS}), nu 1.0034e-6 m2/s, roughness 1.5e-6 m",
        "time_square_s: q_s = c sqrt(y), c the mean of q_s/sqrt(y) at y1 and y2",
        "flow1, flow2: q_s at y1 and y2",
    ],
    [
        ("area_m2", "m2"), ("y1_m", "m"), ("y2_m", "m"), ("q_in_m3_s", "m3/s"), ("bore_m", "m"), ("length_m", "m"), ("k", "1"),
        ("flow1_m3_s", "m3/s"), ("flow2_m3_s", "m3/s"), ("time_s", "s"), ("time_square_s", "s"),
    ],
)
def siphon_drain():
    for area in (0.12, 0.48, 1.1):
        for y1, y2 in ((0.75, 0.53), (0.45, 0.25), (1.2, 0.95), (0.3, 0.06)):
            for bore, length, k in ((0.02614, 0.8, 2.84), (0.02042, 1.5, 4.5), (0.04039, 0.6, 2.0)):
                one, two = link_flow(y1, bore, length, k), link_flow(y2, bore, length, k)
                for share in (0.0, 0.14, 0.5, 0.9):
                    q = r9(share * two)
                    c = (one / math.sqrt(y1) + two / math.sqrt(y2)) / 2

                    def time(flow):
                        def hit(_, y):
                            return y[0] - y2

                        hit.terminal = True
                        end = 200 * area * (y1 - y2) / max(two - q, 1e-9)
                        run = solve_ivp(lambda _, y: [(q - flow(y[0])) / area], (0, end), [y1], events=hit, method="DOP853", rtol=1e-10, atol=1e-13)
                        return run.t_events[0][0]

                    if c * math.sqrt(y2) <= q:
                        continue
                    yield (
                        area, y1, y2, q, bore, length, k, one, two,
                        time(lambda y: link_flow(y, bore, length, k)),
                        time(lambda y: c * math.sqrt(max(y, 0.0))),
                    )


if __name__ == "__main__":
    main(TABLES, HERE, sys.argv[1:])
