"""Writes uncertainty.tsv: values and standard uncertainties by the Python package `uncertainties`, from formulas written
again here, apart from the calculators that are checked against them."""

import math
import sys

import uncertainties
from uncertainties import ufloat, umath

MM, UM, GPA, DEG = 1e-3, 1e-6, 1e9, math.pi / 180


def u(value, expanded, unit=1.0, zero=0.0):
    return ufloat(value * unit + zero, expanded / 2 * unit)


def plain(a, b, n):
    a, b, n = u(*a, MM), u(*b, MM), u(*n)
    return {
        "difference": a - b, "mean": (a + b) / 2, "area": a * b, "ratio": a / b,
        "ring": math.pi / 4 * (a**2 - b**2), "scaled": n * a - b / n,
        "correlated": (a - b) / (a + b), "nothing": a - a + b,
    }


def curved(x, y, t):
    x, y, t = u(*x), u(*y), u(*t, DEG)
    root, growth = umath.sqrt(y), umath.exp(x / y)
    logs, size = umath.log(y) + umath.log10(y), abs(x - y)
    return {
        "root": root, "growth": growth, "logs": logs, "power": y**x,
        "waves": umath.sin(t) * umath.cos(t) + umath.tan(t / 2),
        "arcs": umath.asin(x / 2) + umath.acos(x / 3) + umath.atan(y),
        "chosen": y**3 if y.n > 1 else x,
        "larger": max(x, y, ufloat(0.5, 0), key=lambda v: v.n) - min(x, y, key=lambda v: v.n),
        "size": size, "chained": root * growth / logs - size,
    }


def ring(hole, shaft, outer, bore, length, modulus, poisson, friction, shop, expansion):
    hole, shaft, outer, bore, length = (u(*v, MM) for v in (hole, shaft, outer, bore, length))
    modulus, poisson, friction = u(*modulus, GPA), u(*poisson), u(*friction)
    shop, expansion = u(*shop, 1, 273.15), u(*expansion, UM)
    tight, q, i = shaft - hole, hole / outer, bore / hole
    opens, closes = (1 + q**2) / (1 - q**2) + poisson, (1 + i**2) / (1 - i**2) - poisson
    pressure = modulus * tight / (hole * (opens + closes))
    return {
        "tight": tight, "opens": opens, "closes": closes, "pressure": pressure,
        "hoop": pressure * (1 + q**2) / (1 - q**2),
        "torque": friction * pressure * math.pi * hole**2 * length / 2,
        "oven": shop + (tight + 0.06e-3) / (expansion * hole),
    }


CASES = [
    ("spread-plain", plain, dict(a=(60.061, 0.004), b=(60.012, 0.003), n=(1.5, 0.02))),
    ("spread-plain", plain, dict(a=(-25, 0.5), b=(3, 0), n=(0.25, 0.01))),
    ("spread-curved", curved, dict(x=(0.8, 0.01), y=(2.5, 0.03), t=(30, 0.5))),
    ("spread-curved", curved, dict(x=(-1.2, 0.2), y=(0.4, 0.01), t=(-75, 2))),
    ("spread-ring", ring, dict(hole=(60.012, 0.004), shaft=(60.061, 0.004), outer=(100, 0.1), bore=(28, 0.05),
     length=(40, 0.2), modulus=(205, 6), poisson=(0.3, 0.01), friction=(0.14, 0.02), shop=(18, 1), expansion=(11.5, 0.6))),
    ("spread-ring", ring, dict(hole=(60.012, 0.004), shaft=(60.061, 0), outer=(80, 0), bore=(0, 0),
     length=(40, 0), modulus=(205, 0), poisson=(0.3, 0), friction=(0.14, 0), shop=(18, 0), expansion=(11.5, 0))),
]
UNITS = dict(a="mm", b="mm", n="", x="", y="", t="°", hole="mm", shaft="mm", outer="mm", bore="mm", length="mm",
             modulus="GPa", poisson="", friction="", shop="°C", expansion="µm/(m·K)")

print(f"# Python package uncertainties {uncertainties.__version__}, Python {sys.version.split()[0]}, by uncertainty.py beside this file")
print("# calculator\tgiven\tstep\tvalue in the coherent SI unit\tstandard uncertainty in the same unit")
for name, formulas, given in CASES:
    def words(item):
        key, (value, expanded) = item
        return f"{key}={value} {UNITS[key]}".strip() + (f" ± {expanded} {UNITS[key]}".rstrip() if expanded else "")
    for step, result in formulas(**given).items():
        print(name, "; ".join(map(words, given.items())), step, repr(float(result.n)), repr(float(result.s)), sep="\t")
