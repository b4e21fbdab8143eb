"""Writes the reference tables that tests/reference.rs compares the crate with, row by row.

Nothing here comes from the crate: every value is made by a general-purpose library (requirements.txt pins them) or by
numerical integration with scipy of the governing equation, by a route the crate does not take. Where two routes to a
number exist, both are computed and the script stops if they part.

Run it in a virtual environment of its own, outside the repository:

    python3 -m venv VENV
    VENV/bin/pip install -r tests/reference/requirements.txt
    VENV/bin/python tests/reference/make_tables.py            # writes the tables beside this file
    VENV/bin/python tests/reference/make_tables.py --check    # writes nothing; fails if a file would change

Every file opens with comment lines (`# source:` and `# columns:` with units), then a line of column names, then the
rows. Numbers carry 9 significant digits. A second run gives the same bytes.
"""

import math
import sys
import warnings
from importlib.metadata import version
from pathlib import Path

import CoolProp
import fluids
import gsw
import iapws
import psychrolib
import scipy
import scipy.constants
import scipy.optimize
from CoolProp.CoolProp import PropsSI
from fluids.atmosphere import ATMOSPHERE_1976
from fluids.core import dP_from_K, head_from_K
from fluids.drag import drag_sphere, v_terminal
from fluids.friction import Churchill_1977, Colebrook
from fluids.fittings import (
    bend_miter,
    bend_rounded,
    entrance_distance,
    entrance_sharp,
)
from fluids.piping import nearest_pipe
from iapws import IAPWS95, IAPWS97
from iapws.iapws97 import _PSat_T
from scipy.integrate import IntegrationWarning, quad, solve_ivp
from scipy.optimize import brentq

from tables import main, r9

HERE = Path(__file__).resolve().parent
G = 9.80665  # m/s2, standard acceleration of free fall (CGPM 1901)
ATM = 101325.0  # Pa, standard atmosphere
R_GAS = 8.314462618  # J/mol/K (CODATA 2018)
KELVIN = 273.15
VERSIONS = {
    "CoolProp": CoolProp.__version__,
    "fluids": fluids.__version__,
    "gsw": gsw.__version__,
    "iapws": iapws.__version__,
    "PsychroLib": version("PsychroLib"),
    "scipy": scipy.__version__,
}


def lib(*names):
    return ", ".join(f"{name} {VERSIONS[name]}" for name in names)


def close(a, b, rel, what, abs_=0.0):
    """Stops the run where two routes to one number part."""
    if abs(a - b) > rel * max(abs(a), abs(b)) + abs_:
        raise SystemExit(f"two routes disagree: {what}: {a!r} and {b!r}")


TABLES = {}


def table(name, sources, columns):
    """Declares a table: `columns` is a list of (name, unit)."""

    def wrap(rows):
        TABLES[name] = (sources, columns, rows)
        return rows

    return wrap


# ---------------------------------------------------------------- oxygen in water


def gsw_density(salinity, t_c):
    sa = gsw.SR_from_SP(salinity)
    return float(gsw.rho(sa, gsw.CT_from_pt(sa, t_c), 0.0))


def gsw_oxygen(salinity, t_c):
    """mg/L in equilibrium with vapour-saturated air at 1 atm: Garcia & Gordon's fit, umol/kg to mg/L by density."""
    return float(gsw.O2sol_SP_pt(salinity, t_c)) * 31.9988e-3 * gsw_density(salinity, t_c) / 1000.0


@table(
    "do_saturation.csv",
    [
        "gsw O2sol_SP_pt: Garcia & Gordon (1992), Limnol. Oceanogr. 37:1307-1312, the fit to Benson & Krause's data; "
        "umol/kg to mg/L by TEOS-10 density and M(O2) = 31.9988 g/mol (" + lib("gsw") + ")",
        "water-vapour-saturated air at 101325 Pa",
    ],
    [("t_c", "degC"), ("salinity", "practical salinity"), ("do_mg_l", "mg/L")],
)
def do_saturation():
    for t in range(0, 41):
        for s in range(0, 41, 5):
            yield t, s, gsw_oxygen(s, t)


@table(
    "do_saturation_printed.csv",
    [
        "EN 25814 / ISO 5814 table of oxygen solubility in fresh water at 101.325 kPa, as reprinted in makers' manuals "
        "of oxygen probes; digits as printed, so a row holds to half its last digit (column half_digit)"
    ],
    [("t_c", "degC"), ("do_mg_l", "mg/L"), ("half_digit", "mg/L")],
)
def do_saturation_printed():
    printed = "10 11.3,15 10.1,16 9.87,18 9.47,20 9.09,22 8.74,24 8.42,25 8.26,26 8.11,28 7.83,30 7.56"
    for item in printed.split(","):
        t, text = item.split()
        yield t, text, 0.5 * 10.0 ** -len(text.split(".")[1])


def virial_theta(t_c):
    """-B(T) P0/(R T) of oxygen per atmosphere, B from its Helmholtz equation of state: the real-gas term."""
    t = t_c + KELVIN
    return -PropsSI("Bvirial", "T", t, "Dmolar", 1e-3, "Oxygen") * ATM / (R_GAS * t)


def vapour_atm(t_c, salinity):
    """Saturation vapour pressure, atm: IAPWS-95 for pure water, lowered by Raoult's law for sea salt (31.4038 g/mol)."""
    p = PropsSI("P", "T", max(t_c + KELVIN, 273.16), "Q", 0, "Water") if t_c > 0.009 else _PSat_T(t_c + KELVIN) * 1e6
    sa = float(gsw.SR_from_SP(salinity))
    salt, water = sa / 31.4038218, (1000.0 - sa) / 18.015268
    return p / ATM * water / (water + salt)


@table(
    "do_pressure.csv",
    [
        "Henry's law on oxygen's fugacity: C(P) = C1 (P - Pwv)(1 - th P)/((1 - Pwv)(1 - th)), C1 from gsw as in "
        "do_saturation.csv, Pwv from IAPWS-95 with Raoult's law for salt, th = -B/(R T) from oxygen's second virial "
        "coefficient (" + lib("gsw", "CoolProp", "iapws") + ")"
    ],
    [("t_c", "degC"), ("salinity", "practical salinity"), ("pressure_pa", "Pa"), ("do_mg_l", "mg/L")],
)
def do_pressure():
    for t in range(0, 41, 4):
        th = virial_theta(t)
        for s in (0, 10, 35):
            pwv = vapour_atm(t, s)
            for p in (0.5, 0.6, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 1.0, 1.05, 1.1):
                pa = r9(p * ATM)
                p = pa / ATM
                c = gsw_oxygen(s, t) * (p - pwv) * (1 - th * p) / ((1 - pwv) * (1 - th))
                yield t, s, pa, c


@table(
    "altitude_pressure.csv",
    ["US Standard Atmosphere 1976 / ISO 2533 by geopotential layers (" + lib("fluids") + ", ATMOSPHERE_1976)"],
    [("altitude_m", "m"), ("pressure_pa", "Pa")],
)
def altitude_pressure():
    for z in list(range(0, 5001, 100)) + list(range(5500, 11001, 500)):
        yield z, ATMOSPHERE_1976(z).P


# ---------------------------------------------------------------- water


def water(t_c):
    """Density, dynamic viscosity at 1 atm: IAPWS-95 and IAPWS-97 (with the IAPWS 2008 viscosity), CoolProp between."""
    t, p = t_c + KELVIN, ATM / 1e6
    w95, w97 = IAPWS95(T=t, P=p), IAPWS97(T=t, P=p)
    close(w95.rho, w97.rho, 2e-5, f"density at {t_c}")
    close(w95.mu, w97.mu, 2e-4, f"viscosity at {t_c}")
    if t_c > 0.01:
        close(w95.rho, PropsSI("D", "T", t, "P", ATM, "Water"), 1e-6, f"CoolProp density at {t_c}")
        close(w95.mu, PropsSI("V", "T", t, "P", ATM, "Water"), 2e-4, f"CoolProp viscosity at {t_c}")
    return w95.rho, w95.mu


@table(
    "water_properties.csv",
    [
        "density IAPWS-95, dynamic viscosity IAPWS 2008, both at 101325 Pa, checked against IAPWS-97 and CoolProp "
        "(" + lib("iapws", "CoolProp") + ")",
        "saturation vapour pressure: IAPWS-97 region 4, and ASHRAE Handbook's equation by " + lib("PsychroLib"),
    ],
    [
        ("t_c", "degC"),
        ("density_kg_m3", "kg/m3"),
        ("viscosity_pa_s", "Pa s"),
        ("kinematic_m2_s", "m2/s"),
        ("vapour_pressure_iapws_pa", "Pa"),
        ("vapour_pressure_ashrae_pa", "Pa"),
    ],
)
def water_properties():
    psychrolib.SetUnitSystem(psychrolib.SI)
    for half in range(0, 91):
        t = half / 2
        rho, mu = water(t)
        yield t, rho, mu, mu / rho, _PSat_T(t + KELVIN) * 1e6, psychrolib.GetSatVapPres(t)


# ---------------------------------------------------------------- pipe friction


def regime(re):
    return "laminar" if re <= 2000 else "transition" if re < 4000 else "turbulent"


RE_GRID = (
    "1 3 10 30 100 300 600 1000 1500 1800 2000 2100 2300 2500 2700 3000 3300 3600 3900 4000 5000 7000 10000 14000 "
    "20000 30000 50000 70000 100000 200000 500000 1000000 2000000 5000000 10000000"
)


@table(
    "friction_factor.csv",
    [
        "Darcy friction factor (" + lib("fluids") + "): 64/Re, and the Colebrook-White equation solved exactly",
        "Churchill (1977), Chem. Eng. 84(24):91-92, as the same library evaluates it: a check of typing, not of physics",
        "regime: laminar to Re 2000, transition to 4000 (no accepted value: the two laws bracket it), turbulent above",
    ],
    [
        ("reynolds", "1"),
        ("relative_roughness", "1"),
        ("regime", "word"),
        ("f_laminar", "1"),
        ("f_colebrook", "1"),
        ("f_churchill", "1"),
    ],
)
def friction_factor():
    for re in map(float, RE_GRID.split()):
        for ed in (0.0, 1e-6, 1e-5, 1e-4, 3e-4, 1e-3, 3e-3, 0.01, 0.02, 0.03, 0.05):
            f = Colebrook(re, ed)
            if re >= 2000:
                x = 1 / math.sqrt(f)
                # fluids uses 3.7 exactly as Colebrook printed it.
                close(x, -2 * math.log10(ed / 3.7 + 2.51 * x / re), 1e-9, f"Colebrook root {re} {ed}")
            yield re, ed, regime(re), 64 / re, f, Churchill_1977(re, ed)


@table(
    "pipe_head_loss.csv",
    [
        "Darcy-Weisbach, h = (f L/D + K) V2/2g, with fluids' Colebrook (64/Re below 2000) in head_m and fluids' "
        "Churchill in head_churchill_m; water from IAPWS-95 (" + lib("fluids", "iapws") + ")",
        "no head_m between Re 2000 and 4000 (word: none)",
    ],
    [
        ("bore_m", "m"),
        ("flow_m3_s", "m3/s"),
        ("length_m", "m"),
        ("roughness_m", "m"),
        ("k_sum", "1"),
        ("t_c", "degC"),
        ("kinematic_m2_s", "m2/s"),
        ("reynolds", "1"),
        ("regime", "word"),
        ("head_m", "m"),
        ("head_churchill_m", "m"),
    ],
)
def pipe_head_loss():
    for t in (5, 15, 20, 28, 35):
        rho, mu = water(t)
        nu = r9(mu / rho)
        for bore in (0.0153, 0.0204, 0.0261, 0.04039, 0.05199, 0.0776, 0.1036):
            area = math.pi / 4 * bore * bore
            for speed in (0.02, 0.1, 0.4, 1.0, 2.2):
                flow = r9(speed * area)
                v = flow / area
                re = v * bore / nu
                for length, rough, k in ((0.5, 0.0001, 1.5), (3.0, 1.5e-6, 0.0), (20.0, 1e-5, 6.4)):
                    losses = [fluids.core.K_from_f(fd=f, L=length, D=bore) + k for f in
                              ((64 / re if re <= 2000 else Colebrook(re, rough / bore)),
                               Churchill_1977(re, rough / bore))]
                    head, head_churchill = (head_from_K(K=x, V=v, g=G) for x in losses)
                    close(head, dP_from_K(losses[0], rho, v) / (rho * G), 1e-12, "head and pressure")
                    yield (bore, flow, length, rough, k, t, nu, re, regime(re),
                           "none" if regime(re) == "transition" else head, head_churchill)


@table(
    "fittings.csv",
    [
        "loss coefficients K on the velocity in the bore given, from the Crane TP-410 forms in " + lib("fluids")
    ],
    [("fitting", "word"), ("bore_m", "m"), ("k", "1")],
)
def fittings():
    for d in (0.01529, 0.02042, 0.02614, 0.03454, 0.04039, 0.05199, 0.0621, 0.07727, 0.10155):
        for angle in (45, 90, 180):
            yield f"crane_standard_bend_{angle}", d, bend_rounded(Di=d, angle=angle, method="Crane standard")
        for angle in (90,):
            yield f"crane_mitre_{angle}", d, bend_miter(angle=angle, Di=d, method="Crane")
    d = 0.05199
    yield "crane_sharp_entrance", d, entrance_sharp(method="Crane")
    yield "crane_projecting_entrance", d, entrance_distance(Di=d, t=0.001, method="Crane")


@table(
    "pipe_sizes.csv",
    [
        "ASTM D1785 schedule 40 PVC: outside diameter, minimum wall and OD less two walls, as " + lib("fluids")
        + " tabulates them"
    ],
    [("nominal_in", "in"), ("outside_m", "m"), ("inside_m", "m"), ("wall_m", "m")],
)
def pipe_sizes():
    for nominal in (0.5, 0.75, 1, 1.25, 1.5, 2, 2.5, 3, 4):
        _, inside, outside, wall = nearest_pipe(NPS=nominal, schedule=PVC_SCHEDULE)
        close(outside - 2 * wall, inside, 2e-3, f"wall of {nominal}")
        yield nominal, outside, inside, wall


PVC_SCHEDULE = "40D1785"

# ---------------------------------------------------------------- settling


@table(
    "settling_velocity.csv",
    [
        "terminal velocity of a sphere in still water by root finding on drag laws of " + lib("fluids")
        + ": v_default its own choice (Stokes to Barati et al. 2014), v_clift the standard drag curve of Clift, Grace & "
        "Weber (1978); Stokes' law beside them; water from " + lib("iapws"),
        "reynolds is d v_default / nu",
    ],
    [
        ("diameter_m", "m"),
        ("particle_kg_m3", "kg/m3"),
        ("t_c", "degC"),
        ("density_kg_m3", "kg/m3"),
        ("viscosity_pa_s", "Pa s"),
        ("reynolds", "1"),
        ("v_default_m_s", "m/s"),
        ("v_clift_m_s", "m/s"),
        ("v_stokes_m_s", "m/s"),
    ],
)
def settling_velocity():
    for t in (5, 12, 20, 28, 30):
        rho, mu = map(r9, water(t))
        for rhop in (1010, 1030, 1050, 1120, 1190, 1250):
            for um in (20, 50, 100, 150, 200, 300, 500, 700, 1000, 1500, 2000, 3000):
                d = um * 1e-6
                stokes = G * d * d * (rhop - rho) / (18 * mu)

                def fall(method):
                    def off(v):
                        re = rho * v * d / mu
                        cd = drag_sphere(re, Method=method) if method else drag_sphere(re)
                        return 4 * G * d * (rhop - rho) / (3 * cd * rho) - v * v

                    return brentq(off, 1e-9 * stokes, 3 * stokes, xtol=1e-300, rtol=1e-14)

                default = fall(None)
                close(default, v_terminal(D=d, rhop=rhop, rho=rho, mu=mu), 2e-3, f"v_terminal {um} {rhop} {t}", 1e-9)
                yield d, rhop, t, rho, mu, rho * default * d / mu, default, fall("Clift"), stokes


# ---------------------------------------------------------------- circular sections


def chord(d, z):
    return 2 * math.sqrt(max(0.0, z * (d - z)))


def area_by_quad(d, y):
    """Area under level y by integrating the chord, through z = d (1 - cos t)/2 so that both ends are smooth."""
    t1 = math.acos(1 - 2 * y / d)
    return quad(lambda t: d * math.sin(t) * d / 2 * math.sin(t), 0, t1, epsabs=0, epsrel=1e-13)[0]


def perimeter_by_quad(d, y):
    """Wetted wall by integrating arc length, ds = d dz / (2 sqrt(z (d - z))) on each side, end singularity weighted."""
    if y > 0.5 * d:
        return math.pi * d - perimeter_by_quad(d, d - y)
    return quad(lambda z: d / math.sqrt(d - z), 0, y, weight="alg", wvar=(-0.5, 0), epsabs=0, epsrel=1e-13)[0]


@table(
    "circular_section.csv",
    [
        "part-full circular section by numerical integration of the chord and of the wall (scipy.integrate.quad); "
        "critical flow Q = sqrt(g A3/T), specific energy E = y + Q2/(2 g A2) (" + lib("scipy") + ")",
        "the depth is found again from the flow as the least of its specific energy, dE/dy = 0, or no table is written",
    ],
    [
        ("bore_m", "m"),
        ("depth_m", "m"),
        ("area_m2", "m2"),
        ("wetted_m", "m"),
        ("surface_width_m", "m"),
        ("critical_flow_m3_s", "m3/s"),
        ("critical_energy_m", "m"),
    ],
)
def circular_section():
    for d in (0.010, 0.0204, 0.0404, 0.052, 0.100, 0.200, 0.400):
        for rel in (0.02, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85,
                    0.9, 0.93, 0.95, 0.97, 0.98, 0.99):
            y = r9(rel * d)
            a, p, w = area_by_quad(d, y), perimeter_by_quad(d, y), chord(d, y)
            q = math.sqrt(G * a**3 / w)
            e = y + q * q / (2 * G * a * a)

            # Critical depth is where the specific energy of this flow is least.
            def slope(z):
                az = area_by_quad(d, z)
                return 1 - q * q * chord(d, z) / (G * az**3)

            close(brentq(slope, 1e-4 * d, (1 - 1e-12) * d, xtol=1e-300, rtol=1e-13), y, 1e-8, f"critical depth {d} {rel}")
            yield d, y, a, p, w, q, e


@table(
    "thin_wall_orifice.csv",
    [
        "flow of a circular hole in a thin wall to free air, hole wholly or partly under the level: "
        "Q = 0.6 * integral of sqrt(2 g (h - z)) b(z) dz over the wetted height, scipy.integrate.quad (" + lib("scipy") + ")",
        "level_m above the lowest point of the hole",
    ],
    [("bore_m", "m"), ("level_m", "m"), ("flow_m3_s", "m3/s")],
)
def thin_wall_orifice():
    for d in (0.010, 0.0261, 0.050, 0.100, 0.400):
        for rel in (0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99, 1.0, 1.01, 1.05, 1.1, 1.2, 1.35,
                    1.5, 1.75, 2.0, 2.5, 3.0):
            h = r9(rel * d)
            top = min(h, d)
            # z = top sin2(u): smooth at both ends, whether the end is the hole's or the water's.
            q = quad(
                lambda u: math.sqrt(2 * G * max(0.0, h - top * math.sin(u) ** 2))
                * chord(d, top * math.sin(u) ** 2) * 2 * top * math.sin(u) * math.cos(u),
                0, math.pi / 2, epsabs=0, epsrel=1e-12, limit=200)[0]
            plain = quad(lambda z: math.sqrt(2 * G * (h - z)) * chord(d, z), 0, top, epsabs=0, epsrel=1e-10, limit=500)[0]
            close(q, plain, 1e-8, f"orifice {d} {rel}")
            yield d, h, 0.6 * q


@table(
    "rim.csv",
    [
        "flow over the round rim of an open standpipe: the weir by integrating 0.62 sqrt(2 g (h - z)) over the "
        "drawn-down sheet along the rim's length pi D (scipy.integrate.quad), the drowned mouth 0.6 A sqrt(2 g h); the "
        "smaller flow (" + lib("scipy") + ")"
    ],
    [("bore_m", "m"), ("head_m", "m"), ("control", "word"), ("flow_m3_s", "m3/s")],
)
def rim():
    for d in (0.0204, 0.0261, 0.052, 0.0776, 0.1036, 0.2):
        for rel in (0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.34, 0.38, 0.45, 0.6, 0.8, 1.0, 1.5, 2.0):
            h = r9(rel * d)
            weir = 0.62 * math.pi * d * quad(lambda z: math.sqrt(2 * G * (h - z)), 0, h, epsabs=0, epsrel=1e-12)[0]
            mouth = 0.6 * math.pi / 4 * d * d * math.sqrt(2 * G * h)
            yield d, h, "weir" if weir < mouth else "orifice", min(weir, mouth)


# ---------------------------------------------------------------- gradually varied flow


class Leg:
    """A circular pipe running to free air or to standing water, solved as the gradually-varied-flow equation."""

    def __init__(self, bore, flow, length, slope, rough, nu, tail, friction):
        self.d, self.q, self.length, self.s0, self.e, self.nu, self.tail = bore, flow, length, slope, rough, nu, tail
        self.friction = friction
        self.full = math.pi / 4 * bore * bore
        self.hc = brentq(lambda h: flow * flow * self.top(h) - G * self.area(h) ** 3, 1e-5 * bore, (1 - 1e-13) * bore,
                         xtol=1e-300, rtol=1e-14)

    def angle(self, h):
        return 2 * math.acos(1 - 2 * min(h, self.d) / self.d)

    def area(self, h):
        th = self.angle(h)
        return self.d**2 / 8 * (th - math.sin(th))

    def top(self, h):
        return chord(self.d, h) if h < self.d else 0.0

    def energy(self, h):
        return h + self.q**2 / (2 * G * self.area(h) ** 2)

    def slope(self, h):
        """Friction slope f V2 / (2 g 4R)."""
        a = self.area(h)
        dh = 4 * a / (self.d * self.angle(h) / 2)
        v = self.q / a
        return self.friction(v * dh / self.nu, self.e / dh) * v * v / (2 * G * dh)

    def reach(self, h0, h1, normal=None):
        """Distance upstream over which the depth goes from h0 to h1, through the equation dh/ds = (Sf-S0)/(1-Fr2).

        `normal`: uniform depth beyond h1, where there is one."""

        def per_depth(h):
            return (1 - self.q**2 * self.top(h) / (G * self.area(h) ** 3)) / (self.slope(h) - self.s0)

        if normal is None:
            return quad(per_depth, h0, h1, epsabs=1e-13, epsrel=1e-9, limit=400)[0]

        # Near uniform depth the distance grows without bound as a logarithm: h = normal - (normal - h0) exp(-u).
        def per_u(u):
            gap = (normal - h0) * math.exp(-u)
            return per_depth(normal - gap) * gap

        # Sf - S0 cancels there, and quad complains of rounding at the far end of the search; the depth that is found is
        # checked by the second route below.
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", IntegrationWarning)
            return quad(per_u, 0, math.log((normal - h0) / (normal - h1)), epsabs=1e-13, epsrel=1e-9, limit=400)[0]

    def by_energy(self, h0):
        """The same profile as an initial-value problem in specific energy, dE/ds = Sf - S0 (a second route)."""
        ec = self.energy(self.hc)

        def depth(e):
            if e <= ec:
                return self.hc
            return brentq(lambda h: self.energy(h) - e, self.hc, max(2 * self.d, e + 1e-9), xtol=1e-300, rtol=1e-13)

        def crown(_, y):
            return y[0] - self.energy(self.d)

        def critical(_, y):
            return y[0] - ec

        # Stop where the surface meets the crown, rising: the friction slope has a corner there. Steep, stop at critical depth.
        crown.terminal, crown.direction = True, 1
        critical.terminal, critical.direction = True, -1
        e, done = self.energy(h0), 0.0
        rise = self.slope(self.d) - self.s0
        if h0 >= self.d:
            done = self.length if rise >= 0 else min(self.length, (h0 - self.d) / -rise)
            e += rise * done
        if done < self.length:
            run = solve_ivp(lambda s, y: [self.slope(depth(y[0])) - self.s0], (done, self.length), [e],
                            method="DOP853", rtol=1e-11, atol=1e-14, events=(crown, critical))
            e = run.y[0][-1]
            if run.status == 1 and len(run.t_events[0]):
                e += rise * (self.length - run.t[-1])
        return depth(e)

    def falling(self, h0, length, steep):
        """Water stands so high at the lower end that the depth falls upstream, to uniform depth or, steep, to critical."""
        if steep:
            if self.reach(h0, self.hc) <= length:
                return self.hc, "inlet", 0.0
            return brentq(lambda h: self.reach(h0, h) - length, self.hc, h0, xtol=1e-300, rtol=1e-12), "falling", 0.0
        hn = brentq(lambda h: self.slope(h) - self.s0, self.hc, h0, xtol=1e-300, rtol=1e-14)
        if h0 - hn < 1e-12 or self.reach(h0, hn + (h0 - hn) * 1e-8, hn) <= length:
            return hn, "normal", 0.0
        low = hn + (h0 - hn) * 1e-8
        return brentq(lambda h: self.reach(h0, h, hn) - length, low, h0, xtol=1e-300, rtol=1e-12), "falling", 0.0

    def inlet(self):
        """Depth (hydraulic grade over the invert) at the upper end, the control, and the length that runs full."""
        h0, length = max(self.hc, self.tail), self.length
        steep = self.slope(self.hc) <= self.s0
        if self.tail <= self.hc and steep:
            return self.hc, "inlet", 0.0
        if h0 >= self.d:
            rise = self.slope(self.d) - self.s0
            h = h0 + rise * length
            if h >= self.d:
                return h, "full", length
            length -= (h0 - self.d) / -rise
            h0 = self.d
        if self.slope(h0) <= self.s0:
            return self.falling(h0, length, steep)
        # Normal depth, if the run has one above its lower end, is where the profile ends.
        lowest = min((self.slope(h0 + (self.d - h0) * k / 400), k) for k in range(401))
        if lowest[0] < self.s0:
            hn = brentq(lambda h: self.slope(h) - self.s0, h0, h0 + (self.d - h0) * lowest[1] / 400, xtol=1e-300, rtol=1e-14)
            hi = h0 + (hn - h0) * (1 - 1e-8)
            if self.reach(h0, hi, hn) <= self.length:
                return hn, "normal", 0.0
        else:
            filled = self.reach(h0, self.d)
            if filled <= self.length:
                full = self.length - filled
                return self.d + (self.slope(self.d) - self.s0) * full, "part to full", full
            hn, hi = None, self.d
        h = brentq(lambda h: self.reach(h0, h, hn) - self.length, h0, hi, xtol=1e-300, rtol=1e-12)
        return h, "part full", 0.0


def solved_leg(bore, flow, length, slope, rough, nu, tail, friction=Churchill_1977, check=True):
    leg = Leg(bore, flow, length, slope, rough, nu, tail, friction)
    h, state, full = leg.inlet()
    if check and state in ("part full", "part to full", "falling", "full"):
        close(h, leg.by_energy(max(leg.hc, tail)), 2e-7, f"profile {bore} {flow} {length} {slope} {tail}")
    return leg, h, state, full


@table(
    "gvf_profile.csv",
    [
        "gradually varied flow in a circular pipe, dh/ds = (Sf - S0)/(1 - Fr2) marched upstream from the larger of critical "
        "depth and the standing water at the lower end: distance as an integral over depth (scipy quad, root by brentq), "
        "checked against the initial-value problem dE/ds = Sf - S0 (solve_ivp) (" + lib("scipy") + ")",
        "Sf = f V2/(2 g 4R), f by Churchill (1977) from " + lib("fluids") + "; h_in_colebrook_m the same with Colebrook, as "
        "a measure of what the friction law is worth (none: Re below 4000)",
        "h_in is the hydraulic grade over the invert at the upper end; state: part full; part to full (the upper full_m run "
        "full); full; falling (standing water at the lower end, the depth falls upstream); normal (uniform depth reached); inlet "
        "(steep, critical at the upper end)",
        "pool_m = E_in + 0.5 V_in2/2g, outlet control only; rows first named are worked cases, the rest a grid of J = "
        "V/sqrt(g D) over the whole bore",
    ],
    [
        ("case", "word"),
        ("bore_m", "m"),
        ("flow_m3_s", "m3/s"),
        ("length_m", "m"),
        ("slope", "m/m"),
        ("roughness_m", "m"),
        ("kinematic_m2_s", "m2/s"),
        ("tailwater_m", "m"),
        ("critical_m", "m"),
        ("h_in_m", "m"),
        ("h_in_colebrook_m", "m"),
        ("energy_in_m", "m"),
        ("pool_m", "m"),
        ("full_m", "m"),
        ("state", "word"),
    ],
)
def gvf_profile():
    rough, nu = 0.0001, 1.003e-6
    lph = 1 / 3.6e6
    named = [
        # name, bore, L/h, length, slope, tailwater
        ("level 1.5 m 1500", 0.05199, 1500, 1.5, 0, 0),
        ("level 4 m 1500", 0.05199, 1500, 4, 0, 0),
        ("half per cent 1.5 m 1500", 0.05199, 1500, 1.5, 0.005, 0),
        ("level 2 m 2500", 0.05199, 2500, 2, 0, 0),
        ("half per cent 2 m 2500", 0.05199, 2500, 2, 0.005, 0),
        ("level 2 m 4000", 0.05199, 4000, 2, 0, 0),
        ("half per cent 2 m 4000", 0.05199, 4000, 2, 0.005, 0),
        ("level 3 m 3000", 0.05199, 3000, 3, 0, 0),
        ("level 3 m 4000", 0.05199, 4000, 3, 0, 0),
        ("level 3 m 4000 drowned 100 mm", 0.05199, 4000, 3, 0, 0.1),
        ("level 4 m 3000", 0.05199, 3000, 4, 0, 0),
        ("level 4 m 3500", 0.05199, 3500, 4, 0, 0),
        ("level 4 m 5000", 0.05199, 5000, 4, 0, 0),
        ("level 4 m 6000", 0.05199, 6000, 4, 0, 0),
        ("one per cent 3 m 4000 wider", 0.0773, 4000, 3, 0.01, 0),
        ("level 1 m 3000 tail 45 mm", 0.05199, 3000, 1, 0, 0.045),
        ("level 1 m 3000 free", 0.05199, 3000, 1, 0, 0),
    ]
    cases = [(n, d, r9(q * lph), length, s, tail) for n, d, q, length, s, tail in named]
    for d in (0.0261, 0.05199, 0.10155):
        for j in (0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0):
            q = r9(j * math.sqrt(G * d) * math.pi / 4 * d * d)
            for times in (2, 10, 30, 60):
                for s in (0, 0.002, 0.005, 0.01):
                    cases.append(("grid", d, q, r9(times * d), s, 0))
    for d in (0.0404, 0.0776):
        for j in (0.1, 0.3, 0.5):
            q = r9(j * math.sqrt(G * d) * math.pi / 4 * d * d)
            for tail in (0.6, 0.8, 0.95, 1.3):
                for s in (0, 0.002, 0.008, 0.02):
                    cases.append(("tailwater", d, q, r9(40 * d), s, r9(tail * d)))
    for name, d, q, length, s, tail in cases:
        leg, h, state, full = solved_leg(d, q, length, s, rough, nu, tail)
        _, hw, _, _ = solved_leg(d, q, length, s, rough, nu, tail, Colebrook, check=False)
        a = leg.area(h)
        if q / a * 4 * a / (d * leg.angle(h) / 2) / nu < 4000:
            hw = "none"  # Colebrook's equation is for turbulent flow
        e = h + q * q / (2 * G * a * a)
        yield (name, d, q, length, s, rough, nu, tail, leg.hc, h, hw, e,
               e + 0.5 * (q / a) ** 2 / (2 * G), full, state)


def pool(leg, h, k_entry):
    """Level of still water that feeds a run whose upper end stands at h: the larger of outlet and inlet control.

    Inlet control: critical section at the mouth while it is free (J <= 0.617), the square-edged culvert inlet of FHWA
    HDS-5, HW/D = 0.67 + 1.28 J2, once it is sealed (J >= 0.705), a straight line between. The culvert inlet's square edge
    holds an entrance loss of 0.5; another entrance changes it by the difference, on V2/2g = J2 D/2.
    """
    d, q = leg.d, leg.q
    unit = leg.full * math.sqrt(G * d)

    def free(flow):
        hc = Leg(d, flow, 1.0, 0.0, leg.e, leg.nu, 0.0, leg.friction).hc
        v = flow / leg.area(hc)
        return hc + (1 + k_entry) * v * v / (2 * G)

    def sealed(j):
        return d * (0.67 + (1.28 + (k_entry - 0.5) / 2) * j * j)

    j, lo, hi = q / unit, 0.617, 0.705
    if j <= lo:
        inlet = free(q)
    elif j >= hi:
        inlet = sealed(j)
    else:
        inlet = free(lo * unit) + (sealed(hi) - free(lo * unit)) * (j - lo) / (hi - lo)
    outlet = h + (1 + k_entry) * (q / leg.area(h)) ** 2 / (2 * G)
    return (outlet, "outlet") if outlet >= inlet else (inlet, "inlet")


@table(
    "outlet_levels.csv",
    [
        "tank level over an outlet, composed from its controls upstream of the profile of gvf_profile.csv (" + lib("scipy", "fluids") + ")",
        "wall: level over the invert of a pipe through the wall, larger of outlet control and inlet control (FHWA HDS-5, "
        "Hydraulic Design of Highway Culverts: the higher headwater governs)",
        "tee: the same level at a vented tee, plus (K + f L/D + 1) V2/2g of a submerged riser of the same bore that runs full",
        "rim: level over a standpipe's rim, weir 1.83 pi D h^1.5 or mouth 0.6 A sqrt(2 g h), drowned by the run at its foot "
        "after Villemonte (1947), Eng. News-Rec. 139:866-869, where the run's level passes the rim, and then not less than "
        "that level plus (0.5 + f Lv/D) V2/2g",
        "flooded: difference of two levels, (K + f L/D) V2/2g",
        "f by Churchill",
    ],
    [
        ("arrangement", "word"),
        ("bore_m", "m"),
        ("flow_m3_s", "m3/s"),
        ("roughness_m", "m"),
        ("kinematic_m2_s", "m2/s"),
        ("run_length_m", "m"),
        ("run_slope", "m/m"),
        ("run_tail_m", "m"),
        ("entry_k", "1"),
        ("rim_height_m", "m"),
        ("riser_length_m", "m"),
        ("riser_k", "1"),
        ("control", "word"),
        ("run_level_m", "m"),
        ("level_m", "m"),
    ],
)
def outlet_levels():
    lph = 1 / 3.6e6
    rough, nu = 0.0001, 1.003e-6
    cases = [
        # arrangement, bore, flow, run length, slope, tail, entry K, rim height, riser length, riser K
        ("rim", 0.05199, r9(1500 * lph), 1.5, 0, 0, 0.57, 0.9, 0, 0),
        ("rim", 0.05199, r9(4000 * lph), 1.5, 0, 0, 0.57, 0.9, 0, 0),
        ("rim", 0.05199, r9(3000 * lph), 4, 0, 0, 0.57, 0.08, 0, 0),
        ("rim", 0.05199, r9(3500 * lph), 4, 0, 0, 0.57, 0.08, 0, 0),
        ("rim", 0.05199, r9(5000 * lph), 4, 0, 0, 0.57, 0.08, 0, 0),
        ("rim", 0.05199, r9(6000 * lph), 4, 0, 0, 0.57, 0.08, 0, 0),
        ("wall", 0.05199, r9(2500 * lph), 2, 0.005, 0, 0.5, 0, 0, 0),
        ("wall", 0.05199, r9(2500 * lph), 2, 0, 0, 0.5, 0, 0, 0),
        ("wall", 0.05199, r9(4000 * lph), 2, 0.005, 0, 0.5, 0, 0, 0),
        ("wall", 0.05199, r9(4000 * lph), 2, 0, 0, 0.5, 0, 0, 0),
        ("tee", 0.05199, r9(1500 * lph), 1.5, 0, 0, 0.5, 0, 0.9, 1.35),
        ("tee", 0.05199, r9(4000 * lph), 3, 0, 0, 0.5, 0, 0.9, 1.35),
        ("tee", 0.05199, r9(4000 * lph), 3, 0, 0.1, 0.5, 0, 0.9, 1.35),
        ("flooded", 0.05199, r9(3000 * lph), 1, 0, 0, 0, 0, 0, 1.5),
        ("flooded", 0.04039, r9(4000 * lph), 1.5, 0, 0, 0, 0, 0, 2.7),
    ]
    for d in (0.0261, 0.05199, 0.0776, 0.10155):
        for j in (0.1, 0.25, 0.4, 0.58, 0.65, 0.75, 1.0):
            q = r9(j * math.sqrt(G * d) * math.pi / 4 * d * d)
            for length, slope, tail in ((0.4, 0, 0), (3, 0, 0), (3, 0.01, 0), (8, 0.002, r9(1.2 * d))):
                cases.append(("wall", d, q, length, slope, tail, 0.5, 0, 0, 0))
                cases.append(("tee", d, q, length, slope, tail, 0.5, 0, 0.7, 2.0))
                cases.append(("rim", d, q, length, slope, tail, 0.57, r9(1.6 * d), 0, 0))
            cases.append(("flooded", d, q, 2.5, 0, 0, 0, 0, 0, 2.64))
    for case in cases:
        name, d, q, length, slope, tail, k_entry, rim_height, riser, riser_k = case
        head = (q / (math.pi / 4 * d * d)) ** 2 / (2 * G)
        f = Churchill_1977(q / (math.pi / 4 * d * d) * d / nu, rough / d)
        row = (name, d, q, rough, nu, length, slope, tail, k_entry, rim_height, riser, riser_k)
        if name == "flooded":
            yield row + ("full", 0, (riser_k + f * length / d) * head)
            continue
        leg, h, _, _ = solved_leg(d, q, length, slope, rough, nu, tail)
        run, control = pool(leg, h, k_entry)
        if name == "wall":
            level = run
        elif name == "tee":
            level = run + (riser_k + f * riser / d + 1) * head
        else:
            weir = (q / (1.83 * math.pi * d)) ** (2 / 3)
            mouth = head / 0.36
            level, control = max((weir, "weir"), (mouth, "orifice"))
            h2 = run - rim_height
            if h2 > 0:
                drowned = brentq(lambda h1: 1.83 * math.pi * d * h1**1.5 * (1 - (h2 / h1) ** 1.5) ** 0.385 - q,
                                 h2 * (1 + 1e-15), h2 + 10 * weir, xtol=1e-300, rtol=1e-13)
                through = h2 + (0.5 + f * rim_height / d) * head
                level, control = max((level, control), (drowned, "drowned weir"), (through, "run"))
        yield row + (control, run, level)


# ---------------------------------------------------------------- a pump and its branches


def link_flow(drop, bore, length, k, rough, nu):
    """Flow through a pipe under a drop of head: root of (K + f L/D) V2/2g = drop; zero where the drop is not positive."""
    if drop <= 0:
        return 0.0
    area = math.pi / 4 * bore * bore

    def short(q):
        v = q / area
        return (k + Churchill_1977(v * bore / nu, rough / bore) * length / bore) * v * v / (2 * G) - drop

    return brentq(short, 1e-12, 10 * area * math.sqrt(2 * G * drop / k) if k else 1.0, xtol=1e-300, rtol=1e-14)


@table(
    "pump_branches.csv",
    [
        "a pump H = H0 (1 - (Q/Qm)^2) lifting from z_sump through a trunk to a tee and two outlets to free air at z1 and z2: "
        "the head at the tee and the pump's flow found together by Newton-like iteration on the nodes' continuity "
        "(scipy.optimize.root, hybr), a zero flow where the head does not reach an outlet (" + lib("scipy", "fluids") + ")",
        "losses (K + f L/D) V2/2g with f by Churchill, roughness 1.5e-6 m, kinematic viscosity 1.0034e-6 m2/s",
        "a trunk of zero length and zero K is no trunk",
    ],
    [
        ("h0_m", "m"), ("qm_m3_s", "m3/s"), ("z_sump_m", "m"),
        ("trunk_bore_m", "m"), ("trunk_length_m", "m"), ("trunk_k", "1"),
        ("z1_m", "m"), ("bore1_m", "m"), ("length1_m", "m"), ("k1", "1"),
        ("z2_m", "m"), ("bore2_m", "m"), ("length2_m", "m"), ("k2", "1"),
        ("flow_m3_s", "m3/s"), ("flow1_m3_s", "m3/s"), ("flow2_m3_s", "m3/s"), ("tee_head_m", "m"),
    ],
)
def pump_branches():
    rough, nu = 1.5e-6, 1.0034e-6
    for h0, qm in ((1.2, 800), (2.5, 2500), (4.0, 6000)):
        qm = r9(qm / 3.6e6)
        for z_sump in (0.0, -0.2):
            for trunk in ((0.0261, 2.0, 1.84), (0.0404, 3.0, 3.0)):
                for one, two in (
                    ((0.7, 0.0204, 3.0, 3.85), (0.9, 0.0261, 2.0, 5.0)),
                    ((1.0, 0.0153, 4.0, 4.09), (0.5, 0.0204, 1.0, 9.14)),
                    ((0.3, 0.0261, 1.0, 2.0), (1.75, 0.0153, 2.0, 3.0)),
                    ((0.9, 0.0204, 2.0, 4.0), (0.9, 0.0204, 2.0, 4.0)),
                ):

                    def branches(tee):
                        return [link_flow(tee - z, d, ln, k, rough, nu) for z, d, ln, k in (one, two)]

                    def pumped(tee):
                        """Flow that the pump and trunk send to a head at the tee (bisected; a second route)."""
                        area = math.pi / 4 * trunk[0] ** 2

                        def short(q):
                            v = q / area
                            f = Churchill_1977(v * trunk[0] / nu, rough / trunk[0])
                            return z_sump + h0 * (1 - (q / qm) ** 2) - (trunk[2] + f * trunk[1] / trunk[0]) * v * v / (2 * G) - tee

                        return brentq(short, 1e-15, qm, xtol=1e-300, rtol=1e-14)

                    top = z_sump + h0
                    if min(one[0], two[0]) >= top - 0.05:
                        continue
                    low = min(one[0], two[0])
                    tee = brentq(lambda h: pumped(h) - sum(branches(h)), low, top - 1e-6, xtol=1e-300, rtol=1e-13)

                    def nodes(x):
                        tee, q = x
                        area = math.pi / 4 * trunk[0] ** 2
                        v = q * qm / area
                        f = Churchill_1977(max(v, 1e-9) * trunk[0] / nu, rough / trunk[0])
                        loss = (trunk[2] + f * trunk[1] / trunk[0]) * v * v / (2 * G)
                        return [sum(branches(tee)) / qm - q, z_sump + h0 * (1 - q * q) - loss - tee]

                    found = scipy.optimize.root(nodes, [low + 0.6 * (top - low), 0.4], method="hybr", tol=1e-12)
                    close(found.x[0], tee, 1e-7, "head at the tee")
                    q1, q2 = branches(tee)
                    yield (h0, qm, z_sump, *trunk, *one, *two, q1 + q2, q1, q2, tee)


# ---------------------------------------------------------------- oxygen in time


def supply_minus_demand(c, case):
    """Net gain in g/h: flow, fall, air, surface and a respiration that tapers below c_taper."""
    q, c_in, e, ga, ca, gs, cs, r, taper = case
    return q * ((1 - e) * c_in + e * cs - c) + ga * (ca - c) + gs * (cs - c) - r * min(1.0, c / taper)


STEADY_COLUMNS = [
    ("flow_m3_h", "m3/h"),
    ("c_in_g_m3", "g/m3"),
    ("fall_e", "1"),
    ("air_gain_m3_h", "m3/h"),
    ("air_saturation_g_m3", "g/m3"),
    ("surface_gain_m3_h", "m3/h"),
    ("saturation_g_m3", "g/m3"),
    ("demand_g_h", "g/h"),
    ("taper_g_m3", "g/m3"),
]


@table(
    "oxygen_steady.csv",
    [
        "settled oxygen of one mixed tank as the long-time limit of V dC/dt = Q[(1-E) C_in + E C_s - C] + G_a (C_a - C) + "
        "G_s (C_s - C) - R min(1, C/C_taper), scipy solve_ivp, checked against the root (" + lib("scipy") + ")",
        "c_constant_g_m3: the root with R not tapered (may be negative: then the demand cannot be met)",
    ],
    STEADY_COLUMNS + [("c_g_m3", "g/m3"), ("c_constant_g_m3", "g/m3")],
)
def oxygen_steady():
    g_air = 10.03 * 0.9 * 1.024**5 / 9.092
    worked = [
        (1.0, 6.0, 0.0797, g_air, 8.098, 0.0166667, 8.263, 3.0, 2.0),
        (1.0, 6.0, 0.0797, g_air, 8.098, 0.0166667, 8.263, 4.2, 2.0),
        (1.0, 6.0, 0.0797, g_air, 8.098, 0.0166667, 8.263, 6.0, 2.0),
        (0.0, 6.0, 0.0, g_air, 8.098, 0.0166667, 8.263, 3.0, 2.0),
        (1.0, 6.0, 0.0797, 0.0, 8.098, 0.0166667, 8.263, 3.0, 2.0),
        (0.0, 6.0, 0.0, 0.0, 8.098, 0.0166667, 8.263, 3.0, 2.0),
        (3.6, 7.0, 0.1432, 0.0, 10.0, 0.0416667, 10.035, 5.5, 3.0),
    ]
    grid = []
    for q, e in ((0.0, 0.0), (0.5, 0.0), (1.5, 0.08), (4.0, 0.2)):
        for ga in (0.0, 0.3, 2.5):
            for cs in (7.4, 9.1, 11.3):
                for r in (0.4, 2.2, 9.0):
                    gs = 0.02 if q else 0.05
                    grid.append((q, r9(0.7 * cs), e, ga, r9(1.02 * cs), gs, cs, r, 2.0))
    for case in worked + grid:
        case = tuple(map(r9, case))
        q, c_in, e, ga, ca, gs, cs, r, taper = case
        top = max(c_in, ca, cs)
        root = brentq(lambda c: supply_minus_demand(c, case), 0.0, top, xtol=1e-300, rtol=1e-14)
        rate = q + ga + gs
        run = solve_ivp(lambda t, c: [supply_minus_demand(c[0], case)], (0, 40 / rate + 40), [0.8 * cs], method="LSODA",
                        rtol=1e-10, atol=1e-12)
        close(run.y[0][-1], root, 1e-7, f"steady oxygen {case}")
        constant = (q * ((1 - e) * c_in + e * cs) + ga * ca + gs * cs - r) / rate
        yield case + (root, constant)


@table(
    "oxygen_rundown.csv",
    [
        "time for the oxygen of one mixed tank to fall from c0 to a threshold, V dC/dt as in oxygen_steady.csv, scipy "
        "solve_ivp with an event, checked against the integral of V dC / (loss - gain) (" + lib("scipy") + ")",
        "time_h 'never' where the oxygen settles above the threshold",
    ],
    [("volume_m3", "m3"), ("c0_g_m3", "g/m3")] + STEADY_COLUMNS + [("threshold_g_m3", "g/m3"), ("time_h", "h")],
)
def oxygen_rundown():
    cases = []
    for volume, cs, c0, taper in ((0.5, 8.263, 6.5, 2.0), (1.1, 7.828, 5.0, 1.5), (0.4, 9.914, 9.0, 3.0), (10.0, 7.3, 7.0, 2.0)):
        for r_per_m3 in (1.0, 6.0, 25.0):
            r = r9(r_per_m3 * volume)
            for gs in (0.0, r9(0.03 * volume)):
                for q, e, ga in ((0.0, 0.0, 0.0), (0.0, 0.0, r9(0.4 * volume)), (r9(volume), 0.05, 0.0)):
                    for threshold in (4.0, 3.0, 1.0):
                        cases.append((volume, c0, q, r9(0.75 * cs), e, ga, r9(1.02 * cs), gs, cs, r, taper, threshold))
    for case in cases:
        volume, c0, *rest = case
        model, threshold = tuple(rest[:-1]), case[-1]
        root = brentq(lambda c: supply_minus_demand(c, model), 0.0, 2 * model[6], xtol=1e-12)
        if root >= threshold:
            yield case + ("never",)
            continue

        def hit(_, c):
            return c[0] - threshold

        hit.terminal = True
        run = solve_ivp(lambda t, c: [supply_minus_demand(c[0], model) / volume], (0, 5000), [c0], method="DOP853",
                        rtol=1e-11, atol=1e-13, events=hit, max_step=5.0)
        kink = [model[8]] if threshold < model[8] < c0 else None
        t = quad(lambda c: -volume / supply_minus_demand(c, model), threshold, c0, epsabs=0, epsrel=1e-11, limit=300, points=kink)[0]
        close(run.t_events[0][0], t, 1e-6, f"rundown {case}")
        yield case + (t,)


@table(
    "oxygen_loop.csv",
    [
        "settled oxygen round a loop tank -> bed -> sump -> tank: long-time limit of three mixed volumes (scipy solve_ivp), "
        "tank as in oxygen_steady.csv with constant R, bed Q (C_t - C_b) + G_b (C_s - C_b) - R_b, sump "
        "Q (C_b - C_su) + G_su (C_s - C_su) (" + lib("scipy") + ")",
    ],
    [
        ("flow_m3_h", "m3/h"),
        ("fall_e", "1"),
        ("air_gain_m3_h", "m3/h"),
        ("air_saturation_g_m3", "g/m3"),
        ("surface_gain_m3_h", "m3/h"),
        ("saturation_g_m3", "g/m3"),
        ("demand_g_h", "g/h"),
        ("bed_gain_m3_h", "m3/h"),
        ("bed_demand_g_h", "g/h"),
        ("sump_gain_m3_h", "m3/h"),
        ("tank_g_m3", "g/m3"),
        ("bed_g_m3", "g/m3"),
        ("sump_g_m3", "g/m3"),
    ],
)
def oxygen_loop():
    g_air = 10.03 * 0.9 * 1.024**5 / 9.092
    cases = [
        (1.0, 0.0797, g_air, 8.098, 0.0166667, 8.263, 3.0, 0.5, 2.6, 0.02),
        (1.0, 0.0797, g_air, 8.098, 0.0166667, 8.263, 3.0, 0.05, 2.6, 0.02),
    ]
    for q in (0.4, 1.5, 4.0):
        for e in (0.0, 0.12):
            for ga in (0.6, 2.5):
                for gb, rb in ((0.1, 0.5), (0.8, 0.9)):
                    for gsu in (0.02, 0.3):
                        for r in (0.6, 1.6):
                            cases.append((q, e, ga, 8.2, 0.02, 8.4, r, gb, rb, gsu))
    for case in cases:
        case = tuple(map(r9, case))
        q, e, ga, ca, gs, cs, r, gb, rb, gsu = case

        def rates(_, c):
            t, b, s = c
            return [
                q * ((1 - e) * s + e * cs - t) + ga * (ca - t) + gs * (cs - t) - r,
                (q * (t - b) + gb * (cs - b) - rb) / 0.2,
                (q * (b - s) + gsu * (cs - s)) / 0.3,
            ]

        run = solve_ivp(rates, (0, 600), [cs, cs, cs], method="Radau", rtol=1e-11, atol=1e-12)
        tank, bed, sump = (float(run.y[k][-1]) for k in range(3))
        gain = q * e * (cs - sump) + ga * (ca - tank) + (gs * (cs - tank)) + gb * (cs - bed) + gsu * (cs - sump)
        close(gain, r + rb, 1e-8, f"loop's supply and demand {case}")
        if min(tank, bed, sump) <= 0:
            continue
        yield case + (tank, bed, sump)


# ---------------------------------------------------------------- growth


@table(
    "growth.csv",
    [
        "thermal-unit growth as an equation of time, dW/dt = 3 W^(2/3) (TGC/1000) max(0, min(T, T_opt) - T_base), with a "
        "water temperature T = T_mean + T_amp sin(2 pi (t + t_shift)/365.25); TGC as in Iwama & Tautz (1981), Cho (1992), x1000 "
        "form",
        "degree_days is the integral of max(0, min(T, T_opt) - T_base) between its kinks (scipy quad), w_g follows from it; both "
        "within 1e-9 of the equation followed in time (scipy solve_ivp) (" + lib("scipy") + ")",
    ],
    [
        ("w0_g", "g"),
        ("tgc", "g^(1/3)/(degC d) x1000"),
        ("t_base_c", "degC"),
        ("t_opt_c", "degC"),
        ("t_mean_c", "degC"),
        ("t_amp_c", "degC"),
        ("t_shift_d", "d"),
        ("days", "d"),
        ("degree_days", "degC d"),
        ("w_g", "g"),
    ],
)
def growth():
    # An integrator in time keeps about ten digits, and the tenth hangs on the machine's sine: rounded to nine, one run gave different
    # bytes on two machines. The integral keeps fifteen.
    def kinks(mean, amp, shift, levels, days):
        """Times at which the temperature crosses a level."""
        for level in levels:
            if abs(level - mean) < amp:
                angle = math.asin((level - mean) / amp)
                for turn in range(3):
                    for at in (angle, math.pi - angle):
                        t = (at + 2 * math.pi * turn) / (2 * math.pi) * 365.25 - shift
                        if 0 < t < days:
                            yield t

    for w0, tgc, base, opt in ((20, 1.74, 0, 15), (2, 1.3, 0, 16), (50, 3.2, 18, 30), (10, 2.224, 0, 30)):
        for mean, amp in ((11, 0), (12, 6), (22, 8), (27, 4)):
            for shift in (0, 120):
                for days in (30, 120, 200, 365):

                    def warmth(t):
                        temp = mean + amp * math.sin(2 * math.pi * (t + shift) / 365.25)
                        return max(0.0, min(temp, opt) - base)

                    run = solve_ivp(lambda t, y: [3 * y[0] ** (2 / 3) * tgc / 1000 * warmth(t), warmth(t)], (0, days), [w0, 0],
                                    method="DOP853", rtol=1e-11, atol=1e-12, max_step=0.5)
                    ends = [0, *sorted(kinks(mean, amp, shift, (base, opt), days)), days]
                    dd = math.fsum(quad(warmth, a, b, epsabs=1e-13, epsrel=1e-13)[0] for a, b in zip(ends, ends[1:]))
                    w = (w0 ** (1 / 3) + tgc / 1000 * dd) ** 3
                    close(float(run.y[1][-1]), dd, 1e-9, "degree-days")
                    close(float(run.y[0][-1]), w, 1e-9, "growth closed form")
                    yield w0, tgc, base, opt, mean, amp, shift, days, dd, w


# ---------------------------------------------------------------- units


@table(
    "unit_factors.csv",
    [
        "SI value of one unit, and of its zero, from scipy.constants (CODATA 2018; inch, pound, gallon, psi, horsepower as "
        "NIST SP 811 defines them; a German degree is 10 mg/L of CaO, as CaCO3) (" + lib("scipy") + ")"
    ],
    [("kind", "word"), ("symbol", "word"), ("factor", "SI unit"), ("zero", "SI unit")],
)
def unit_factors():
    s = scipy.constants
    litre, ft, inch, gal, lb, oz = s.liter, s.foot, s.inch, s.gallon, s.pound, s.ounce
    kinds = {
        "length": {"m": 1, "mm": s.milli, "cm": s.centi, "km": s.kilo, "in": inch, "ft": ft, "yd": s.yard},
        "area": {"m²": 1, "cm²": s.centi**2, "mm²": s.milli**2, "ft²": ft**2, "in²": inch**2},
        "volume": {
            "L": litre, "mL": litre / 1000, "m³": 1, "gal": gal, "imp gal": s.gallon_imp, "ft³": ft**3, "qt": gal / 4,
            "pt": gal / 8, "cups": 8 * s.fluid_ounce, "fl oz": s.fluid_ounce, "tbsp": s.fluid_ounce / 2,
        },
        "flow": {
            "L/h": litre / s.hour, "L/min": litre / s.minute, "L/s": litre, "L/day": litre / s.day, "m³/h": 1 / s.hour,
            "m³/s": 1, "gal/h": gal / s.hour, "gal/min": gal / s.minute, "gal/day": gal / s.day,
            "ft³/min": ft**3 / s.minute, "ft³/h": ft**3 / s.hour,
            "mL/min": litre / 1000 / s.minute, "imp gal/min": s.gallon_imp / s.minute,
        },
        "mass": {"kg": 1, "g": s.gram, "mg": s.gram / 1000, "t": s.metric_ton, "lb": lb, "oz": oz},
        "mass rate": {
            "g/day": s.gram / s.day, "kg/day": 1 / s.day, "g/h": s.gram / s.hour, "kg/h": 1 / s.hour,
            "mg/h": s.gram / 1000 / s.hour, "oz/day": oz / s.day, "lb/day": lb / s.day, "kg/s": 1,
        },
        "concentration": {"mg/L": 1e-6 / litre, "g/L": s.gram / litre, "µg/L": 1e-9 / litre, "kg/m³": 1, "dKH": 1e-5 / litre * 100.087 / 56.077},
        "temperature": {"°C": 1, "°F": s.degree_Fahrenheit, "K": 1},
        "temperature difference": {"°C": 1, "°F": s.degree_Fahrenheit, "K": 1},
        "temperature rate": {"°C/h": 1 / s.hour, "°F/h": s.degree_Fahrenheit / s.hour, "K/h": 1 / s.hour, "K/s": 1},
        "areal rate": {
            "g/m²/day": s.gram / s.day, "g/ft²/day": s.gram / ft**2 / s.day, "oz/ft²/day": oz / ft**2 / s.day, "kg/m²/s": 1,
        },
        "areal mass": {"kg/m²": 1, "lb/ft²": lb / ft**2},
        "pressure": {"kPa": s.kilo, "Pa": 1, "hPa": s.hecto, "bar": s.bar, "psi": s.psi, "atm": s.atm},
        "power": {"W": 1, "kW": s.kilo, "hp": s.hp},
        "energy": {"kWh": s.kilo * s.hour, "Wh": s.hour, "J": 1, "MJ": s.mega},
        "time": {"s": 1, "min": s.minute, "h": s.hour, "days": s.day, "weeks": s.week, "months": s.Julian_year / 12, "years": s.Julian_year},
        "density": {"kg/m³": 1, "g/cm³": s.gram / s.centi**3, "lb/gal": lb / gal, "lb/ft³": lb / ft**3, "g/m³": s.gram},
        "angle": {"°": s.degree, "rad": 1},
        "ratio": {"": 1},
        "share": {"%": s.centi, "(fraction)": 1, "in/ft": inch / ft, "mm/m": s.milli},
        "slope": {"%": s.centi, "(fraction)": 1, "in/ft": inch / ft, "mm/m": s.milli},
        "count": {"": 1},
        "velocity": {
            "m/s": 1, "mm/s": s.milli, "m/h": 1 / s.hour, "m/day": 1 / s.day, "ft/s": ft,
            "gal/min/ft²": gal / s.minute / ft**2, "cm/s": s.centi,
        },
        "specific rate": {
            "%/day": s.centi / s.day, "mg/kg/h": s.micro / s.hour, "g/kg/h": s.milli / s.hour, "1/s": 1, "1/h": 1 / s.hour,
        },
        "media area": {"m²/m³": 1, "ft²/ft³": 1 / ft},
        "per area": {"/m²": 1, "/ft²": 1 / ft**2},
        "money": {"": 1, "/kg": 1, "/lb": 1 / lb, "/m³": 1, "/1000 gal": 1 / (1000 * gal), "/L": 1 / litre, "/kWh": 1, "ct/kWh": 1 / 100},
    }
    for kind, units in kinds.items():
        for symbol, factor in units.items():
            zero = scipy.constants.convert_temperature(0, symbol[1], "K") if kind == "temperature" and symbol != "K" else 0
            yield kind, symbol, factor, zero


if __name__ == "__main__":
    main(TABLES, HERE, sys.argv[1:])
