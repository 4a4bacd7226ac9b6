#!/usr/bin/env python3
"""Recomputes pH and density of generated baths with reference libraries and prints the worst deviations.

    pip install phreeqpython CoolProp chemicals
    cargo build --release
    python3 tests/crosscheck/crosscheck.py --count 400

Reference engines, none of which the program uses:
  pH       PHREEQC through phreeqpython, database phreeqc.dat (ion association with Truesdell-Jones activity
           coefficients; the program uses SIT), with acetate, citrate and oxalate added from MINTEQA2 v4; for salt
           brines PHREEQC with pitzer.dat.
  density  CoolProp: IAPWS-95 water and Melinder's tables (NaCl, NH3, ethanol, K2CO3); PHREEQC molar volumes
           (phreeqc.dat) for mixed salts; the Laliberte coefficients of the package chemicals, evaluated here, for
           acetic acid and the like.

Exit codes: 0 all inside, 1 something outside, 77 a library is missing (nothing was checked).
"""

import argparse
import json
import math
import os
import random
import subprocess
import sys
import tempfile

try:
    import chemicals
    import CoolProp.CoolProp as coolprop
    from phreeqpython import PhreeqPython
except ImportError as missing:
    print(f"cross-check skipped: {missing}")
    sys.exit(77)

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))

# Smith and Martell values as in MINTEQA2 v4 (25 C), written as additions to phreeqc.dat.
ORGANIC = """
SOLUTION_MASTER_SPECIES
Acetate Acetate- 1 59.045 59.045
Citrate Citrate-3 2 189.102 189.102
Oxalate Oxalate-2 0 88.019 88.019
SOLUTION_SPECIES
Acetate- = Acetate-
  log_k 0
H+ + Acetate- = H(Acetate)
  log_k 4.757
  delta_h 0.41 kJ
Citrate-3 = Citrate-3
  log_k 0
H+ + Citrate-3 = H(Citrate)-2
  log_k 6.396
  delta_h 3.35 kJ
2 H+ + Citrate-3 = H2(Citrate)-
  log_k 11.157
  delta_h 1.297 kJ
3 H+ + Citrate-3 = H3(Citrate)
  log_k 14.285
  delta_h -2.76 kJ
Oxalate-2 = Oxalate-2
  log_k 0
H+ + Oxalate-2 = H(Oxalate)-
  log_k 4.266
  delta_h 6.69 kJ
2 H+ + Oxalate-2 = H2(Oxalate)
  log_k 5.518
  delta_h 3.35 kJ
"""

# Line as a person writes it; share of solute; molar mass; elements of PHREEQC per mole.
SHELF = {
    "acetic": ("acetic acid 10 %", 0.10, 60.052, {"Acetate": 1}),
    "citric": ("anhydrous citric acid", 1, 192.123, {"Citrate": 1}),
    "oxalic": ("anhydrous oxalic acid", 1, 90.034, {"Oxalate": 1}),
    "phosphoric": ("phosphoric acid 50 %", 0.5, 97.994, {"P": 1}),
    "hcl": ("hydrochloric acid 20 %", 0.20, 36.458, {"Cl": 1}),
    "bisulfate": ("sodium bisulfate", 1, 120.054, {"Na": 1, "S(6)": 1}),
    "nacl": ("table salt", 1, 58.44, {"Na": 1, "Cl": 1}),
    "kcl": ("potassium chloride", 1, 74.548, {"K": 1, "Cl": 1}),
    "nh4cl": ("ammonium chloride", 1, 53.489, {"N(-3)": 1, "Cl": 1}),
    "nh3": ("ammonia 10 %", 0.10, 17.031, {"N(-3)": 1}),
    "bicarb": ("baking soda", 1, 84.006, {"Na": 1, "C(4)": 1}),
    "soda": ("anhydrous sodium carbonate", 1, 105.988, {"Na": 2, "C(4)": 1}),
    "naoh": ("sodium hydroxide", 1, 39.997, {"Na": 1}),
    "acetate": ("sodium acetate", 1, 82.034, {"Na": 1, "Acetate": 1}),
    "sulfate": ("sodium sulfate", 1, 142.036, {"Na": 2, "S(6)": 1}),
    "nitrate": ("potassium nitrate", 1, 101.102, {"K": 1, "N(5)": 1}),
    "mgso4": ("Epsom salts", 0.488384, 120.37, {"Mg": 1, "S(6)": 1}),
    "cacl2": ("anhydrous calcium chloride", 1, 110.978, {"Ca": 1, "Cl": 2}),
    "ethanol": ("ethanol 96 % w/w", 0.96, 46.069, None),
    "k2co3": ("potassium carbonate", 1, 138.204, {"K": 2, "C(4)": 1}),
}

# Families: what may be in one bath, with the most grams of solute per kilogram of water, and what it is checked for.
FAMILIES = [
    ("weak acid", [("acetic", 60), ("citric", 60), ("oxalic", 20), ("phosphoric", 30)], 1, "ph"),
    ("weak acid and salt", [("acetic", 40), ("citric", 40), ("nacl", 60)], 3, "ph"),
    ("buffer", [("acetic", 40), ("acetate", 40)], 2, "ph"),
    ("strong acid", [("hcl", 15), ("bisulfate", 20), ("nacl", 40)], 2, "ph"),
    ("alkali", [("nh3", 40), ("nh4cl", 40), ("naoh", 20), ("nacl", 40)], 2, "ph"),
    ("carbonate", [("bicarb", 40), ("soda", 30), ("nacl", 30)], 2, "ph"),
    ("half neutral", [("acetic", 40), ("naoh", 15), ("citric", 30)], 3, "ph"),
    ("carbonate brine", [("bicarb", 15), ("soda", 15), ("nacl", 250)], 3, "pitzer"),
    ("acid brine", [("hcl", 20), ("bisulfate", 20), ("nacl", 250)], 2, "pitzer"),
    ("salts", [("nacl", 120), ("kcl", 100), ("nh4cl", 100), ("sulfate", 60), ("nitrate", 80), ("mgso4", 80),
               ("cacl2", 120), ("soda", 60), ("bicarb", 40)], 2, "density"),
    ("brine", [("nacl", 290)], 1, "coolprop MNA"),
    ("ammonia", [("nh3", 100)], 1, "coolprop MAM"),
    ("alcohol", [("ethanol", 400)], 1, "coolprop MEA"),
    ("potash", [("k2co3", 350)], 1, "coolprop MKC"),
    ("acetic acid", [("acetic", 80)], 1, "laliberte"),
]
# Melinder's tables end here, in degrees C; everything else is checked from 0 to 60.
COOLPROP_C = {"MNA": (0.0, 30.0), "MAM": (0.0, 30.0), "MEA": (0.0, 40.0), "MKC": (0.0, 40.0)}
NEVER = [{"bicarb", "cacl2"}, {"soda", "cacl2"}, {"soda", "mgso4"}, {"sulfate", "cacl2"}, {"mgso4", "cacl2"},
         {"bicarb", "mgso4"}, {"soda", "nh4cl"}, {"bicarb", "nh4cl"}]


def generate(rng):
    """One bath: family, [(key, grams of solute)], grams of water in all, temperature."""
    while True:
        name, choices, most, check = rng.choice(FAMILIES)
        count = rng.randint(1, min(most, len(choices)))
        picks = rng.sample(choices, count)
        if any(pair <= {k for k, _ in picks} for pair in NEVER):
            continue
        solutes = [(key, round(top * 10 ** rng.uniform(-2, 0), 4)) for key, top in picks]
        low, high = COOLPROP_C.get(check.split()[-1], (0.0, 60.0))
        return name, solutes, round(rng.uniform(low, high), 1), check


def lines_of(solutes):
    """The lines to pour, so that a kilogram of water is in the bath with them."""
    lines, stock_water = [], 0.0
    for key, grams in solutes:
        line, share, _, _ = SHELF[key]
        poured = round(grams / share, 4)
        stock_water += poured - grams
        lines.append(f"{poured} g {line}")
    water = round(1000.0 - stock_water, 4)
    return [f"{water} g distilled water"] + lines


def run(binary, lines, t_c):
    command = [binary, "mix", *lines, "--temperature", f"{t_c}", "--carbonate", "closed", "--format", "json"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode == 3:
        return None
    if done.returncode != 0:
        sys.exit(f"{command}\n{done.stderr}")
    return json.loads(done.stdout)


class Engine:
    """PHREEQC with one database."""

    def __init__(self, database, extra=""):
        import phreeqpython
        source = os.path.join(os.path.dirname(phreeqpython.__file__), "database", database)
        folder = tempfile.mkdtemp()
        with open(source, encoding="latin-1") as f:
            text = f.read()
        cut = text.find("\nPHASES")
        with open(os.path.join(folder, database), "w", encoding="latin-1") as f:
            f.write(text[:cut] + "\n" + extra + text[cut:])
        import pathlib
        self.engine = PhreeqPython(database=database, database_directory=pathlib.Path(folder))

    def solve(self, solutes, t_c):
        """pH, ionic strength, density in kg/m3."""
        total = {}
        for key, grams in solutes:
            _, _, molar, elements = SHELF[key]
            for element, n in elements.items():
                total[element] = total.get(element, 0.0) + n * grams / molar
        text = ["SOLUTION 1", f"temp {t_c}", "pH 7 charge", "units mol/kgw"]
        text += [f"{e} {m:.10g}" for e, m in total.items()]
        text += ["SELECTED_OUTPUT 1", "-reset false", "USER_PUNCH 1", "-headings ph mu rho", "-start",
                 '10 PUNCH -LA("H+"), MU, RHO', "-end", "END"]
        self.engine.ip.run_string("\n".join(text))
        return self.engine.ip.get_selected_output_array()[-1][-3:]


def laliberte():
    """Coefficients by CAS from the data file of the package chemicals."""
    path = os.path.join(os.path.dirname(chemicals.__file__), "Electrolytes", "Laliberte2009.tsv")
    with open(path, encoding="utf-8") as f:
        rows = [line.rstrip("\n").split("\t") for line in f][1:]
    return {r[1].strip(): [float(x) for x in r[4:9]] for r in rows if len(r) > 9 and r[4]}


def water(t_c):
    return coolprop.PropsSI("D", "T", t_c + 273.15, "P", 101325, "Water")


def laliberte_density(c, w, t_c):
    apparent = (c[0] * w + c[1]) * math.exp(1e-6 * (t_c + c[4]) ** 2) / (w + c[2] + c[3] * t_c)
    return 1 / ((1 - w) / water(t_c) + w / apparent)


class Worst:
    """Worst deviation of one quantity."""

    def __init__(self, unit):
        self.unit, self.count, self.worst, self.sum, self.where = unit, 0, 0.0, 0.0, ""

    def add(self, deviation, where):
        self.count += 1
        self.sum += deviation * deviation
        if abs(deviation) > abs(self.worst):
            self.worst, self.where = deviation, where

    def text(self):
        rms = math.sqrt(self.sum / self.count) if self.count else 0.0
        return f"{self.count:4} points, rms {rms:.3f}, worst {self.worst:+.3f} {self.unit}  {self.where}"


def main():
    args = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    args.add_argument("--count", type=int, default=400, help="baths to generate")
    args.add_argument("--seed", type=int, default=20, help="start of the random series")
    args.add_argument("--binary", default=None, help="the program; default: the release build, else the debug build")
    args.add_argument("--verbose", action="store_true", help="print every bath")
    given = args.parse_args()
    names = [given.binary] if given.binary else [os.path.join(ROOT, "target", b, "bathwright") for b in ("release", "debug")]
    binary = next((n for n in names if n and os.path.exists(n)), None)
    if not binary:
        sys.exit("no build of the program was found: cargo build first")
    rng = random.Random(given.seed)
    association, pitzer, fits = Engine("phreeqc.dat", ORGANIC), Engine("pitzer.dat"), laliberte()
    worst, outside, refused, not_modelled = {}, [], 0, 0
    for _ in range(given.count):
        family, solutes, t_c, check = generate(rng)
        lines = lines_of(solutes)
        found = run(binary, lines, t_c)
        if found is None:
            refused += 1
            continue
        where = f"{'; '.join(lines)} at {t_c} C"
        grams = sum(g for _, g in solutes)
        w = grams / (1000.0 + grams)
        if check in ("ph", "pitzer"):
            ph, mu, _ = (association if check == "ph" else pitzer).solve(solutes, t_c)
            if found["ph"] is None:
                not_modelled += 1
                continue
            weak = mu < 0.1
            name = "pH below 0.1 mol/kg" if weak else f"pH above 0.1 mol/kg, {'phreeqc.dat' if check == 'ph' else 'pitzer.dat'}"
            deviation = found["ph"] - ph
            worst.setdefault(name, Worst("pH")).add(deviation, where)
            slack = 0.005
            if not found["ph_low"] - slack <= ph <= found["ph_high"] + slack:
                outside.append(f"pH {found['ph']:.2f} ({found['ph_low']:.2f} to {found['ph_high']:.2f}) against {ph:.2f}, I = {mu:.2f}: {where}")
        else:
            if check.startswith("coolprop"):
                fluid = check.split()[1]
                limit = {"MNA": 0.23, "MAM": 0.30, "MEA": 0.60, "MKC": 0.40}[fluid]
                if w > limit:
                    continue
                reference = coolprop.PropsSI("D", "T", t_c + 273.15, "P", 101325, f"INCOMP::{fluid}[{w}]")
                name = f"density, Melinder {fluid}"
            elif check == "laliberte":
                reference = laliberte_density(fits["64-19-7"], w, t_c)
                name = "density, Laliberte acetic acid"
            else:
                reference = association.solve(solutes, t_c)[2] * 1000.0
                name = "density, PHREEQC molar volumes"
            if found["density_kg_m3"] is None:
                not_modelled += 1
                continue
            deviation = (found["density_kg_m3"] / reference - 1.0) * 100.0
            worst.setdefault(name, Worst("%")).add(deviation, where)
            if abs(deviation) > 0.3 and not found["density_kg_m3_low"] <= reference <= found["density_kg_m3_high"]:
                outside.append(f"density {found['density_kg_m3']:.1f} against {reference:.1f}: {where}")
        if given.verbose:
            print(f"{deviation:+.3f} {family}: {where}")
    print(f"{given.count} baths generated, {refused} refused as unsafe, {not_modelled} not modelled")
    for name in sorted(worst):
        print(f"{name:44} {worst[name].text()}")
    print(f"outside the stated uncertainty: {len(outside)}")
    for line in outside:
        print(f"  {line}")
    return 1 if outside else 0


if __name__ == "__main__":
    sys.exit(main())
