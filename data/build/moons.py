"""Write data/galilean_l12.tsv and data/saturn_tass17.tsv: the coefficients of two published theories of moons.

    python data/build/moons.py DIR

DIR: the source of the crate rkepler 0.4.2 (MIT), as cargo unpacks it.

The crate carries the numbers of Lainey, Duriez & Vienne 2006 whole and those of Vienne & Duriez 1995 in part (the terms
that matter). Only the published numbers are taken; how they are summed is written from the papers in src/sky/moons.
Standard library only.
"""

import math
import pathlib
import re
import sys

DATA = pathlib.Path(__file__).resolve().parents[1]

HEAD_L12 = """\
# What:       Orbits of Io, Europa, Ganymede, Callisto about Jupiter: series for the semi-major axis a (au), the mean longitude l
#             (rad), z = e exp(i pericentre) and zeta = sin(I/2) exp(i node). t in days of TDB since JD 2433282.5. A row adds
#             power: amplitude x t^degree; cos, sin: amplitude x function(phase + rate x t);
#             exp: amplitude x exp(i (phase + rate x t));
#             re, im: the Chebyshev polynomial of that degree to the real or imaginary part (or to l), its argument running
#             from -1 to 1 in the years -819.727638594856 to 812.721806990360 from the epoch.
#             Reference plane: Jupiter's equator of 2000; its ascending node on the ICRF equator and its inclination
#             to it are the two rows `plane`, radians.
# Source:     Lainey, Duriez & Vienne 2006, Astron. Astrophys. 456, 783 (theory L1.2).
# Obtained:   numbers taken by data/build/moons.py from the crate rkepler 0.4.2, which carries the authors' table whole; none
#             left out.
# Licence:    rkepler is MIT (c) 2022 Peter Hristozov; only the published numbers are taken.
# Checked by: src/sky/moons/galilean.rs, tests/it/sky/moons.rs
"""

HEAD_TASS = """\
# What:       Orbits of Enceladus, Tethys, Dione, Rhea, Titan, Iapetus about Saturn: series for p (relative correction of the mean
#             motion), the mean longitude l (rad), z = e exp(i pericentre) and zeta = sin(I/2) exp(i node), and the slow parts of the
#             mean longitudes (`slow`, rad; Mimas only for its part in Tethys' motion). t in Julian years of TDB since
#             JD 2444240.0. A row adds, its argument being phase + rate x t + sum of m x slow part:
#             power: amplitude x t^degree (degree in the column of the phase); cos, sin: amplitude x function(argument);
#             exp: amplitude x exp(i argument). `n`: mean motion, rad/day; `mass`: of the moon, in Saturn's.
#             Columns m1..m8: multiples of the slow parts of Mimas, Enceladus, Tethys, Dione, Rhea, Titan, Iapetus.
#             Reference plane: ICRF axes are the rows `plane` times the axes of the theory (three rows of a rotation).
# Source:     Vienne & Duriez 1995, Astron. Astrophys. 297, 588 (theory TASS, version 1.7).
# Obtained:   numbers taken by data/build/moons.py from the crate rkepler 0.4.2, which carries the larger terms: what it leaves out
#             moves Iapetus by up to 214 km (0.035" from the Earth), the others by 35 to 135 km.
# Licence:    rkepler is MIT (c) 2022 Peter Hristozov; only the published numbers are taken.
# Checked by: src/sky/moons/saturnian.rs, tests/it/sky/moons.rs
"""

NUMBER = r"-?\d+\.\d*(?:[Ee][+-]?\d+)?"


def short(text):
    """A number as the shortest text that gives the same double."""
    return repr(float(text)).replace("e-0", "e-")


# ---- L1.2 ---------------------------------------------------------------------------------------------------------


def numbers_of(source, name):
    body = re.search(rf"const {name}: \[f64; [^\]]*\] = \[(.*?)\];", source, re.S).group(1)
    return re.findall(NUMBER, body)


def galilean(source):
    rows = []
    axes = numbers_of(source, "A0")
    matrix = dict(re.findall(rf"(r\d\d): ({NUMBER})", source))
    node = math.atan2(float(matrix["r10"]), float(matrix["r00"]))
    inclination = math.atan2(float(matrix["r21"]), float(matrix["r22"]))
    check_plane(matrix, node, inclination)
    rows.append(["jupiter", "plane", "power", repr(node), "0", "0"])
    rows.append(["jupiter", "plane", "power", repr(inclination), "1", "0"])
    for index, moon in enumerate(["io", "europa", "ganymede", "callisto"]):
        i = index + 1
        rows.append([moon, "a", "power", short(axes[index]), "0", "0"])
        start, motion = numbers_of(source, f"AF{i}_LT")
        rows.append([moon, "l", "power", short(start), "0", "0"])
        rows.append([moon, "l", "power", short(motion), "1", "0"])
        for part, name, form in [("a", "A", "cos"), ("l", "L", "sin"), ("z", "Z", "exp"), ("zeta", "ZETA", "exp")]:
            flat = numbers_of(source, f"AF{i}_{name}")
            assert len(flat) % 3 == 0
            for at in range(0, len(flat), 3):
                rows.append([moon, part, form, *map(short, flat[at : at + 3])])
        for part, name, form in [("l", "L", "re"), ("z", "K", "re"), ("z", "H", "im"), ("zeta", "Q", "re"), ("zeta", "P", "im")]:
            for degree, amplitude in enumerate(numbers_of(source, f"TCH{i}_{name}")):
                # The authors' series begin with half their first coefficient.
                value = float(amplitude) * (0.5 if degree == 0 else 1.0)
                rows.append([moon, part, form, short(value), str(degree), "0"])
    waves = sum(row[2] in ("cos", "sin", "exp") for row in rows)
    print(f"L1.2: {len(rows)} rows, {waves} of them waves")
    return rows


def check_plane(matrix, node, inclination):
    """The crate's matrix is a node and an inclination and nothing else."""
    cn, sn, ci, si = math.cos(node), math.sin(node), math.cos(inclination), math.sin(inclination)
    want = [[cn, -sn * ci, sn * si], [sn, cn * ci, -cn * si], [0.0, si, ci]]
    gap = max(abs(float(matrix[f"r{r}{c}"]) - want[r][c]) for r in range(3) for c in range(3))
    assert gap < 1e-14, gap


# ---- TASS ---------------------------------------------------------------------------------------------------------

MOONS = ["mimas", "enceladus", "tethys", "dione", "rhea", "titan", "iapetus"]
INDEX = {1: 0, 2: 1, 3: 2, 4: 3, 5: 4, 6: 5, 8: 6}


def function_body(source, head):
    start = source.index(head)
    start = source.index("{", start)
    depth = 0
    for at in range(start, len(source)):
        depth += {"{": 1, "}": -1}.get(source[at], 0)
        if depth == 0:
            return re.sub(r"\s+", "", source[start + 1 : at])
    raise ValueError(head)


def argument(text):
    """Phase, rate and multiples of the slow parts from `phase + rate * dt + k * dlamN ...`."""
    text = text.replace("_f64", "")
    phase = rate = "0.0"
    multiples = [0] * 7
    for sign, term in re.findall(r"([+-]?)((?:\d[\d.]*(?:[eE][+-]\d+)?\*)?(?:dty?|dlam\d)|-?\d[\d.]*(?:[eE][+-]\d+)?(?:\*dty?)?)", text):
        if "dlam" in term:
            *factor, name = term.split("*")
            value = int(float(factor[0])) if factor else 1
            multiples[INDEX[int(name[-1])]] += -value if sign == "-" else value
        elif term.endswith(("*dt", "*dty")):
            rate = sign.replace("+", "") + term.split("*")[0]
        else:
            phase = sign.replace("+", "") + term
    return phase, rate, multiples


WAVE = re.compile(rf"\+?({NUMBER})\*(?:\(([^()]*)\)|({NUMBER}_f64))\.(sin|cos)\(\)")


def series(text):
    """(plain terms, waves) of a sum as the crate writes it; complains of whatever is not understood."""
    waves = []
    for amplitude, inner, bare, function in WAVE.findall(text):
        waves.append((amplitude, *argument(inner or bare), function))
    rest = WAVE.sub("", text)
    return rest, waves


def assignment(body, name):
    return re.search(rf"let{name}=(.*?);", body).group(1)


def moon_rows(source, moon):
    body = function_body(source, f"fn {moon}(")
    rows = []

    def add(part, form, amplitude, phase="0", rate="0", multiples=(0,) * 7):
        rows.append([moon, part, form, short(amplitude), short(phase) if "." in phase else phase, short(rate) if "." in rate else rate, *map(str, multiples)])

    motion = re.search(rf"DJYEAR\*({NUMBER})\*\(1\.0\+epn\)", body).group(1)
    mass = re.search(rf"\(1\.0\+({NUMBER})\)/MSA", body).group(1)
    add("n", "power", motion)
    add("mass", "power", mass)
    rest, waves = series(assignment(body, "epn"))
    add("p", "power", rest)
    for amplitude, phase, rate, multiples, function in waves:
        assert function == "cos"
        add("p", "cos", amplitude, phase, rate, multiples)
    rest, waves = series(assignment(body, "el"))
    start, pace, own = re.fullmatch(rf"({NUMBER})\+({NUMBER})\*dt\+(dlam\d)", rest).groups()
    assert MOONS[INDEX[int(own[-1])]] == moon
    add("l", "power", start, "0")
    add("l", "power", pace, "1")
    for amplitude, phase, rate, multiples, function in waves:
        assert function == "sin"
        add("l", "sin", amplitude, phase, rate, multiples)
    for part, real, imaginary in [("z", "ek", "eh"), ("zeta", "eq", "ep")]:
        (rest, cosines), (rest_too, sines) = series(assignment(body, real)), series(assignment(body, imaginary))
        assert rest == rest_too == "", (moon, part, rest, rest_too)
        assert [wave[:4] for wave in cosines] == [wave[:4] for wave in sines]
        for amplitude, phase, rate, multiples, _ in cosines:
            add(part, "exp", amplitude, phase, rate, multiples)
    return rows


def saturnian(source):
    rows = []
    matrix = dict(re.findall(rf"(r\d\d): ({NUMBER})", source))
    for r in range(3):
        rows.append(["saturn", "plane", "power", *(short(matrix[f"r{r}{c}"]) for c in range(3)), *["0"] * 7])
    for index, moon in enumerate(MOONS):
        number = next(n for n, i in INDEX.items() if i == index)
        rest, waves = series(function_body(source, f"fn dlam{number}("))
        assert rest == "", rest
        for amplitude, phase, rate, multiples, function in waves:
            assert function == "sin" and not any(multiples)
            rows.append([moon, "slow", "sin", short(amplitude), short(phase), short(rate), *["0"] * 7])
        if moon != "mimas":
            rows += moon_rows(source, moon)
    print(f"TASS: {len(rows)} rows")
    return rows


def write(name, head, columns, rows):
    lines = ["\t".join(columns), *("\t".join(row) for row in rows)]
    (DATA / name).write_text(head + "\n".join(lines) + "\n")


def main():
    folder = pathlib.Path(sys.argv[1]) / "src" / "pos_eph" / "satell"
    columns = ["body", "part", "form", "amplitude", "phase", "rate"]
    write("galilean_l12.tsv", HEAD_L12, columns, galilean((folder / "jup_sat.rs").read_text()))
    columns += [f"m{n}" for n in INDEX]
    write("saturn_tass17.tsv", HEAD_TASS, columns, saturnian((folder / "sat_sat.rs").read_text()))


if __name__ == "__main__":
    main()
