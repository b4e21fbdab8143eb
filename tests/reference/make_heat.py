"""Writes the reference tables of heat, standing water and carbonic acid that tests/heat_reference.rs compares the crate with.

Nothing here comes from the crate: every value is made by a general-purpose library (heat/requirements.txt pins them) or by numerical
integration with scipy, by a route the crate does not take. Where two routes to a number exist, both are computed and the script stops
if they part.

Run it in a virtual environment of its own, outside the repository:

    python3 -m venv VENV
    VENV/bin/pip install -r tests/reference/heat/requirements.txt
    VENV/bin/python tests/reference/make_heat.py            # writes the tables into heat/ beside this file
    VENV/bin/python tests/reference/make_heat.py --check    # writes nothing; fails if a file would change

Every file opens with comment lines (`# source:` and `# columns:` with units), then a line of column names, then the rows. Numbers
carry 9 significant digits.
"""

import sys
from importlib.metadata import version
from itertools import product
from math import cos, pi, sin
from pathlib import Path

import gsw
import ht
import numpy as np
import psychrolib
import scipy.sparse as sparse
from CoolProp.CoolProp import PropsSI
from ht import insulation
from iapws import IAPWS95
from phreeqpython import PhreeqPython
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq
from scipy.sparse.linalg import spsolve

from tables import main, r9

HERE = Path(__file__).resolve().parent / "heat"
ATM = 101325.0
KELVIN = 273.15
G = 9.80665
psychrolib.SetUnitSystem(psychrolib.SI)


def lib(*names):
    return ", ".join(f"{name} {version(name)}" for name in names)


def close(a, b, rel, what, abs_=0.0):
    if abs(a - b) > rel * max(abs(a), abs(b)) + abs_:
        raise SystemExit(f"two routes disagree: {what}: {a!r} and {b!r}")


TABLES = {}


def table(name, sources, columns):
    def wrap(rows):
        TABLES[name] = (sources, columns, rows)
        return rows

    return wrap


# ---------------------------------------------------------------- evaporation


def latent(t):
    """J/kg by IAPWS-95, checked against CoolProp."""
    k = max(t, 0.02) + KELVIN
    a = (IAPWS95(T=k, x=1).h - IAPWS95(T=k, x=0).h) * 1e3
    close(a, PropsSI("H", "T", k, "Q", 1, "Water") - PropsSI("H", "T", k, "Q", 0, "Water"), 1e-5, f"latent heat at {t}")
    return a


@table(
    "latent_heat.csv",
    ["latent heat of vaporisation of water by IAPWS-95, checked against CoolProp (" + lib("iapws", "CoolProp") + ")"],
    [("t_c", "degC"), ("latent_j_kg", "J/kg")],
)
def latent_heat():
    for t in range(0, 46):
        yield t, latent(t)


@table(
    "vapour_in_air.csv",
    ["partial pressure of vapour in air: ASHRAE's equations over ice and water (" + lib("PsychroLib") + ")"],
    [("t_c", "degC"), ("humidity", "1"), ("vapour_pa", "Pa")],
)
def vapour_in_air():
    for t in range(-45, 46, 3):
        for rh in (0.2, 0.6, 1.0):
            yield t, rh, psychrolib.GetVapPresFromRelHum(t, rh)


@table(
    "evaporation.csv",
    [
        "evaporation of 1 m2 by the ASHRAE form (pw - pa)(0.089 + 0.0782 V)/Y, pressures of PsychroLib, Y of IAPWS-95; and of still "
        "water in a room by Shah's form, the larger of 35 rho_w (rho_r - rho_w)^(1/3) (W_w - W_r) and 5e-5 (p_w - p_r), with W of "
        "PsychroLib and dry-air densities of humid air in CoolProp (" + lib("PsychroLib", "iapws", "CoolProp") + ")",
    ],
    [
        ("water_c", "degC"),
        ("air_c", "degC"),
        ("humidity", "1"),
        ("speed_m_s", "m/s"),
        ("drop_pa", "Pa"),
        ("ashrae_kg_h", "kg/h"),
        ("shah_kg_h", "kg/h"),
    ],
)
def evaporation():
    from CoolProp.CoolProp import HAPropsSI

    for tw, ta, rh, v in product((6, 14, 20, 26, 32), (-12, 2, 16, 24, 34), (0.3, 0.7, 1.0), (0.0, 0.5, 3.0)):
        pw, pa = psychrolib.GetSatVapPres(tw), psychrolib.GetVapPresFromRelHum(ta, rh)
        m = (pw - pa) * (0.089 + 0.0782 * v) / latent(tw) * 3600
        w_w, w_r = psychrolib.GetHumRatioFromVapPres(pw, ATM), psychrolib.GetHumRatioFromRelHum(ta, rh, ATM)
        # Vda is the volume of moist air for a kilogram of dry air.
        rho_w = 1 / HAPropsSI("Vda", "T", tw + KELVIN, "P", ATM, "W", w_w)
        rho_r = 1 / HAPropsSI("Vda", "T", ta + KELVIN, "P", ATM, "W", w_r)
        free = 35 * rho_w * max(rho_r - rho_w, 0.0) ** (1 / 3) * (w_w - w_r)
        yield tw, ta, rh, v, pw - pa, m, max(free, 5e-5 * (pw - pa))


# ---------------------------------------------------------------- convection, radiation, walls


def air(t_c):
    """Density, viscosity, conductivity, Prandtl number and expansion of dry air at 1 atm."""
    k = t_c + KELVIN
    get = lambda name: PropsSI(name, "T", k, "P", ATM, "Air")
    return get("D"), get("V"), get("L"), get("Prandtl"), get("isobaric_expansion_coefficient")


def plate(t_water, t_air, area):
    """h of free convection, and the Rayleigh number, of a round surface facing up."""
    rho, mu, k, pr, beta = air((t_water + t_air) / 2)
    length = (area / 3.141592653589793) ** 0.5 / 2
    gr = G * beta * abs(t_water - t_air) * length**3 * rho * rho / (mu * mu)
    nu = ht.Nu_horizontal_plate_McAdams(pr, gr, buoyancy=t_water >= t_air)
    return nu * k / length, pr * gr


@table(
    "plate.csv",
    [
        "free convection from a level round surface: McAdams' equations in ht, which change over at Ra 1e7, properties of air by "
        "CoolProp (" + lib("ht", "CoolProp") + ")",
    ],
    [("water_c", "degC"), ("air_c", "degC"), ("area_m2", "m2"), ("rayleigh", "1"), ("h_w_m2_k", "W/m2/K")],
)
def plate_table():
    for tw, ta, area in product((4, 12, 20, 28, 34), (-20, -5, 8, 19, 31), (0.1, 0.4, 1.0, 3.0, 20.0)):
        h, ra = plate(tw, ta, area)
        yield tw, ta, area, ra, h


@table(
    "radiation.csv",
    ["radiation of 1 m2 of emissivity 0.95 between two temperatures (" + lib("ht") + ", q_rad)"],
    [("water_c", "degC"), ("around_c", "degC"), ("w_m2", "W/m2")],
)
def radiation():
    for tw, ts in product(range(0, 41, 8), range(-40, 41, 8)):
        yield tw, ts, ht.q_rad(0.95, tw + KELVIN, ts + KELVIN)


@table(
    "materials.csv",
    ["thermal conductivities of building materials, ASHRAE 2013 and EN ISO 10456 tables in ht (" + lib("ht") + ")"],
    [("id", "-"), ("conductivity", "W/m/K")],
)
def materials():
    for key, name in (
        ("polyethylene", "Plastics, polyethylene / polythene, high density"),
        ("polypropylene", "Plastics, polypropylene"),
        ("pvc", "Plastics, Polyvinylchloride (PVC)"),
        ("grp", "Plastics, polyester resin"),
        ("wood", "Wood, plywood 500 kg/m^3"),
        ("concrete", "Concrete, reinforced with 1% steel"),
        ("glass", "Glass, soda lime"),
        ("acrylic", "Plastics, acrylic"),
        ("steel", "Metals, steel"),
        ("eps", "Expanded polystyrene, molded beads"),
        ("pir", "Polyisocyanurate, aged, unfaced"),
        ("wool", "Mineral wool, felted, 32 kg/m^3"),
        ("foam", "Spray-applied Polyurethane foam, 40 kg/m^3"),
        ("timber", "Timber, 500 kg/m^3"),
    ):
        yield key, insulation.k_material(name)


@table(
    "wall.csv",
    [
        "heat through a wall of two layers between water and air: the temperatures of the three faces found by balancing the heat "
        "through each film and layer (scipy brentq on the inner face), U from the heat that passes (" + lib("scipy") + ")",
    ],
    [
        ("film_in", "W/m2/K"),
        ("k1", "W/m/K"),
        ("t1_m", "m"),
        ("k2", "W/m/K"),
        ("t2_m", "m"),
        ("film_out", "W/m2/K"),
        ("u_w_m2_k", "W/m2/K"),
    ],
)
def wall():
    for hi, (k1, t1), (k2, t2), ho in product(
        (200.0,), ((0.5, 0.002), (0.5, 0.02), (2.3, 0.15), (50.0, 0.001)), ((0.0355, 0.025), (0.033, 0.05), (0.13, 0.018)), (8.0, 12.0, 28.0)
    ):
        def miss(inner):
            q = hi * (30.0 - inner)
            middle = inner - q * t1 / k1
            outer = middle - q * t2 / k2
            return ho * (outer - 10.0) - q

        inner = brentq(miss, 10.0, 30.0, xtol=1e-13)
        yield hi, k1, t1, k2, t2, ho, hi * (30.0 - inner) / 20.0


# ---------------------------------------------------------------- the ground below a tank


def into_ground(area, k, inside, beside, n):
    """W/m2/K from a round floor at 1 into half space, its surface beside the floor at 0: conduction in rings, by differences.

    `inside` and `beside` are the resistances over the ground, m2 K/W. The far edges hold no heat back and lie 30 radii away.
    """
    radius = (area / pi) ** 0.5
    far = 30 * max(radius, 1.0)
    beyond = np.linspace(0, 1, 2 * n + 1) ** 4
    # Fine at the rim and at the surface.
    r = np.concatenate([radius * (1 - np.linspace(1, 0, n + 1) ** 2.5), (radius + (far - radius) * beyond)[1:]])
    z = far * beyond
    rc, zc = (r[1:] + r[:-1]) / 2, (z[1:] + z[:-1]) / 2
    ring = pi * (r[1:] ** 2 - r[:-1] ** 2)
    cell = np.arange(rc.size * zc.size).reshape(rc.size, zc.size)
    side = k * 2 * pi * r[1:-1, None] * np.diff(z)[None, :] / np.diff(rc)[:, None]
    down = k * ring[:, None] / np.diff(zc)[None, :]
    a = np.concatenate([cell[:-1].ravel(), cell[:, :-1].ravel()])
    b = np.concatenate([cell[1:].ravel(), cell[:, 1:].ravel()])
    g = np.concatenate([side.ravel(), down.ravel()])
    floor = rc < radius
    top = ring / (zc[0] / k + np.where(floor, inside, beside))
    own = np.zeros(cell.size)
    np.add.at(own, a, g)
    np.add.at(own, b, g)
    own[cell[:, 0]] += top
    put = np.zeros(cell.size)
    put[cell[floor, 0]] = top[floor]
    every = cell.ravel()
    matrix = sparse.csc_matrix(
        (np.concatenate([-g, -g, own]), (np.concatenate([a, b, every]), np.concatenate([b, a, every])))
    )
    t = spsolve(matrix, put)
    return float((top[floor] * (1 - t[cell[floor, 0]])).sum() / area)


@table(
    "ground.csv",
    [
        "heat from a round floor into ground of 1.5 W/m/K, the surface beside it in still air (0.125 m2 K/W) or in wind (0.04): conduction "
        "in half space by differences, checked on a grid twice as fine (" + lib("scipy", "numpy") + ")",
    ],
    [("area_m2", "m2"), ("inside_m2k_w", "m2 K/W"), ("beside_m2k_w", "m2 K/W"), ("u_w_m2_k", "W/m2/K")],
)
def ground():
    for area, inside, beside in product((0.3, 0.5, 1.2, 3.0, 5.0, 20.0, 60.0), (0.017, 0.3, 1.4), (0.04, 0.125)):
        u = into_ground(area, 1.5, inside, beside, 72)
        close(u, into_ground(area, 1.5, inside, beside, 36), 0.01, f"floor of {area}")
        # Solvers differ in the last digits.
        yield area, inside, beside, float("%.5g" % u)


# ---------------------------------------------------------------- a tank that cools or warms

SIGMA = 5.670374419e-8


def losses(case, t):
    """W, at water temperature t: every term by libraries."""
    (volume, area, cover, ua_wall, ua_floor, motion, makeup_l_h, makeup_c, ta, rh, v, ground, sky) = case
    past = 1.0 if cover == "open" else 0.1
    pw, pa = psychrolib.GetSatVapPres(t), psychrolib.GetVapPresFromRelHum(ta, rh)
    q = area * (pw - pa) * (0.089 + 0.0782 * v) * motion * past
    around = 0.0552 * (ta + KELVIN) ** 1.5 - KELVIN if sky == "sky" else ta
    around = min(around, ta)
    if cover in ("open", "film"):
        h, ra = plate(t, ta, area)
        if 4.6e6 < ra < 1e7 and t > ta:
            # Between the two equations' crossing and the published change-over the larger one counts.
            h = max(h, 0.15 * ra ** (1 / 3) * air((t + ta) / 2)[2] / ((area / 3.141592653589793) ** 0.5 / 2))
        wind = 0.665e-3 * ATM * 0.0782 * v
        q += (h**3 + wind**3) ** (1 / 3) * area * (t - ta) + area * ht.q_rad(0.95, t + KELVIN, around + KELVIN)
    else:
        cooled = ht.q_rad(0.95, ta + KELVIN, around + KELVIN) / (8 + 4 * v) if sky == "sky" else 0.0
        q += float(cover) * area * (t - ta + cooled)
    q += ua_wall * (t - ta) + ua_floor * (t - ground)
    cold = makeup_c + KELVIN
    mass = makeup_l_h / 3.6e6 * PropsSI("D", "T", cold, "P", ATM, "Water")
    return q + mass * (PropsSI("H", "T", t + KELVIN, "P", ATM, "Water") - PropsSI("H", "T", cold, "P", ATM, "Water"))


VESSEL = [
    ("volume_m3", "m3"),
    ("area_m2", "m2"),
    ("cover", "open, film, or the lid's U in W/m2/K"),
    ("ua_wall", "W/K"),
    ("ua_floor", "W/K"),
    ("motion", "1"),
    ("makeup_l_h", "L/h"),
    ("makeup_c", "degC"),
    ("air_c", "degC"),
    ("humidity", "1"),
    ("speed_m_s", "m/s"),
    ("ground_c", "degC"),
    ("sky", "room or sky"),
]


def vessels():
    sizes = ((0.15, 0.3, 7.0, 0.5), (1.0, 1.0, 6.0, 0.0), (6.0, 5.0, 40.0, 2.0))
    weather = ((-14.0, 0.9, 0.5, 6.0, "room"), (2.0, 0.8, 0.0, 9.0, "sky"), (8.0, 0.7, 0.0, 8.0, "room"), (15.0, 0.5, 2.0, 12.0, "sky"), (24.0, 0.6, 0.3, 18.0, "room"))
    for (volume, area, wall_, floor), cover, (ta, rh, v, ground, sky) in product(sizes, ("open", "film", "0.8"), weather):
        yield volume, area, cover, wall_, floor, 0.74, r9(2.0 * volume), 10.0, ta, rh, v, ground, sky


@table(
    "losses.csv",
    [
        "heat lost by a tank at one temperature: evaporation with PsychroLib, convection with ht and CoolProp, radiation with ht, water "
        "added by enthalpies of CoolProp (" + lib("PsychroLib", "ht", "CoolProp") + ")",
    ],
    VESSEL + [("water_c", "degC"), ("loss_w", "W")],
)
def losses_table():
    for case in vessels():
        for t in (12.0, 20.0, 28.0):
            yield case + (t, losses(case, t))


@table(
    "cooling.csv",
    [
        "temperature of a tank over time, m c dT/dt = P - losses, c of CoolProp by temperature (scipy solve_ivp, losses as in "
        "losses.csv); where it settles (brentq); and the time to a target by an event, checked against the integral of "
        "m c dT/(P - losses) (" + lib("scipy", "PsychroLib", "ht", "CoolProp") + ")",
        "'ice' where it reaches 0 degC, 'hot' where it settles above 44.9, 'never' where the target is not reached, 'near' where the water "
        "settles within 0.3 K of it",
    ],
    VESSEL + [
        ("gain_w", "W"),
        ("start_c", "degC"),
        ("hours", "h"),
        ("after_c", "degC"),
        ("settles_c", "degC"),
        ("target_c", "degC"),
        ("time_h", "h"),
    ],
)
def cooling():
    start = 26.0
    for n, case in enumerate(vessels()):
        for gain in (0.0, r9(450.0 * case[0])):
            hours = (6.0, 12.0, 36.0)[n % 3]
            mass = case[0] * PropsSI("D", "T", start + KELVIN, "P", ATM, "Water")

            def rate(t):
                t = max(t, 0.01)  # a step of the solver may overshoot the freezing point; the event below ends the run there
                return (gain - losses(case, t)) / (mass * PropsSI("C", "T", t + KELVIN, "P", ATM, "Water"))

            frozen = lambda _, y: y[0] - 0.02
            frozen.terminal = True
            run = solve_ivp(lambda _, y: [rate(y[0])], (0, hours * 3600), [start], rtol=1e-8, atol=1e-8, events=frozen)
            after = "ice" if run.t_events[0].size else run.y[0][-1]
            ends = rate(0.02), rate(90.0)
            settles = "ice" if ends[0] < 0 else brentq(rate, 0.02, 44.9, xtol=1e-10) if rate(44.9) < 0 else "hot"
            down = rate(start) < 0
            target = start - 3.0 if down else start + 2.0
            past = 99.0 if isinstance(settles, str) else (target - settles if down else settles - target)
            if past < 0.3:
                time = "never" if past < -0.3 else "near"
            else:
                hit = lambda _, y: y[0] - target
                hit.terminal = True
                run = solve_ivp(lambda _, y: [rate(y[0])], (0, 1e7), [start], rtol=1e-8, atol=1e-8, events=hit)
                time = run.t_events[0][0] / 3600
                close(time, quad(lambda t: 1 / rate(t), start, target, limit=200)[0] / 3600, 1e-5, f"time {case}")
            yield case + (gain, start, hours, after, settles, target, time)


@table(
    "swing.csv",
    [
        "hottest water of a day among days alike, and its mean: m c dT/dt = sun - losses (scipy solve_ivp, losses as in losses.csv); sun half "
        "a sine from 6 to 18 h, the air a sine that is hottest at 15 h with as much water in it all day (" + lib("scipy", "PsychroLib", "ht") + ")",
    ],
    VESSEL + [("sun_w", "W"), ("air_swing_k", "K"), ("mean_c", "degC"), ("highest_c", "degC")],
)
def swing():
    sizes = ((0.3, 0.6, 12.0, 2.6), (1.0, 1.4, 18.0, 6.0), (6.0, 5.0, 60.0, 14.0))
    weather = ((18.0, 0.6, 1.0, "sky", 6.0), (30.0, 0.5, 0.5, "sky", 6.0), (24.0, 0.6, 0.0, "room", 4.0))
    for (volume, area, wall_, floor), (ta, rh, v, sky, above), cover, per_area in product(sizes, weather, ("open", "film"), (0.0, 250.0)):
        if sky == "room" and per_area:
            continue
        sun = per_area * area
        vapour = psychrolib.GetVapPresFromRelHum(ta, rh)

        def at(hour):
            warm = ta + above * cos(2 * pi * (hour - 15) / 24)
            humid = min(vapour / psychrolib.GetSatVapPres(warm), 1.0)
            return volume, area, cover, wall_, floor, 0.74, 0.0, 10.0, warm, humid, v, ta, sky

        def rate(s, y):
            hour = s / 3600 % 24
            shine = pi * sun * sin(pi * (hour - 6) / 12) if 6 < hour < 18 else 0.0
            return [(shine - losses(at(hour), y[0])) / heat]

        heat = volume * PropsSI("D", "T", ta + KELVIN, "P", ATM, "Water") * PropsSI("C", "T", ta + KELVIN, "P", ATM, "Water")
        middle = (volume, area, cover, wall_, floor, 0.74, 0.0, 10.0, ta, rh, v, ta, sky)
        start = brentq(lambda t: sun - losses(middle, t), 0.5, 60.0)
        days = 12
        run = solve_ivp(rate, (0, days * 86400), [start], rtol=1e-6, atol=1e-5, max_step=3600, dense_output=True)
        last = run.sol(np.linspace((days - 1) * 86400, days * 86400, 289))[0]
        yield middle + (sun, above, float("%.5g" % last[:-1].mean()), float("%.5g" % last.max()))


# ---------------------------------------------------------------- standing water


def saturation(t_c):
    """mg/L in fresh water at 1 atm: Garcia & Gordon's fit in gsw, umol/kg to mg/L by TEOS-10 density."""
    rho = float(gsw.rho(0.0, gsw.CT_from_pt(0.0, t_c), 0.0))
    return float(gsw.O2sol_SP_pt(0.0, t_c)) * 31.9988e-3 * rho / 1000.0


@table(
    "standing.csv",
    [
        "time for the oxygen of standing water to fall: V dC/dt = (G_s + G_a (C_a - C)) - R by scipy solve_ivp with an event; surface "
        "0.3 m/day; bubbles by ASCE 2-06 with alpha 0.9, stones at 0.8, 1.024^(T-20), beta 0.98 and the pressure at mid depth; "
        "saturation by gsw, density of air by CoolProp, oxygen of air 0.2314 by mass (" + lib("scipy", "gsw", "CoolProp") + ")",
        "demand tapers off below the critical oxygen; 'never' where the oxygen settles above the target",
    ],
    [
        ("volume_m3", "m3"),
        ("surface_m2", "m2"),
        ("t_c", "degC"),
        ("demand_g_h", "g/h"),
        ("air_l_min", "L/min"),
        ("depth_m", "m"),
        ("efficiency", "1"),
        ("from_mg_l", "mg/L"),
        ("critical_mg_l", "mg/L"),
        ("to_mg_l", "mg/L"),
        ("minutes", "min"),
    ],
)
def standing():
    for (volume, surface), t, per_m3, air_l_min, (c0, crit, to) in product(
        ((0.12, 0.0), (0.5, 0.0), (0.9, 1.2)), (12.0, 25.0, 30.0), (2.0, 8.0, 20.0), (0.0, 6.0), ((6.5, 3.0, 3.0), (6.0, 2.3, 4.0), (7.0, 3.0, 1.5))
    ):
        demand, depth, eff = r9(per_m3 * volume), 0.5, 0.015
        c_s, rho = saturation(t), PropsSI("D", "T", t + KELVIN, "P", ATM, "Water")
        air_density = PropsSI("D", "T", 20 + KELVIN, "P", ATM, "Air")
        sotr = air_l_min * 60e-3 * air_density * 0.2314 * 1e3 * eff  # g/h
        gain = sotr * 0.9 * 0.8 * 1.024 ** (t - 20) / saturation(20.0)  # m3/h
        c_a = 0.98 * c_s * (1 + rho * G * depth / 2 / ATM)
        still = 0.3 / 24 * surface

        def rate(c):
            return (still * (c_s - c) + gain * (c_a - c) - demand * min(1.0, c / crit)) / volume

        if rate(to) > -0.02 * demand / volume:
            if rate(to) > 0.02 * demand / volume:
                yield volume, surface, t, demand, air_l_min, depth, eff, c0, crit, to, "never"
            continue
        hit = lambda _, c: c[0] - to
        hit.terminal = True
        run = solve_ivp(lambda _, c: [rate(c[0])], (0, 5000), [c0], method="DOP853", rtol=1e-10, atol=1e-12, events=hit, max_step=0.2)
        yield volume, surface, t, demand, air_l_min, depth, eff, c0, crit, to, run.t_events[0][0] * 60


# ---------------------------------------------------------------- carbonic acid


def solution(p, t, ph, alkalinity):
    """A sodium bicarbonate water; alkalinity in mg/L as CaCO3."""
    meq = alkalinity / 50.0435
    return p.add_solution({"temp": t, "pH": ph, "units": "mmol/L", "Alkalinity": meq, "Na": meq})


@table(
    "carbonate.csv",
    [
        "free carbon dioxide of a water, and the pH of two waters mixed, by PHREEQC with phreeqc.dat and its activity coefficients "
        "(" + lib("phreeqpython") + ")",
    ],
    [
        ("t_c", "degC"),
        ("ph1", "pH"),
        ("alkalinity1_mg_l", "mg/L CaCO3"),
        ("ph2", "pH"),
        ("alkalinity2_mg_l", "mg/L CaCO3"),
        ("share2", "1"),
        ("ionic_mol_l", "mol/L"),
        ("co2_1_mg_l", "mg/L"),
        ("ph_mixed", "pH"),
    ],
)
def carbonate():
    p = PhreeqPython(database="phreeqc.dat")
    for t, (ph1, a1), (ph2, a2), share in product(
        (5.0, 15.0, 25.0), ((6.4, 30.0), (7.0, 90.0), (7.6, 200.0)), ((7.2, 60.0), (8.0, 180.0), (6.8, 300.0)), (0.1, 0.3, 0.7)
    ):
        one, two = solution(p, t, ph1, a1), solution(p, t, ph2, a2)
        mixed = p.mix_solutions({one: 1 - share, two: share})
        yield t, ph1, a1, ph2, a2, share, one.I, one.species["CO2"] * 44.0095e3, mixed.pH
        for s in (one, two, mixed):
            s.forget()


if __name__ == "__main__":
    main(TABLES, HERE, sys.argv[1:])
