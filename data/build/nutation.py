"""Write data/nutation_2000b.tsv: the numbers of the IAU 2000B series, from the source text of ERFA.

    python -m pip install -r data/build/requirements.txt
    python -m pip download --no-deps --no-binary pyerfa pyerfa==2.0.1.5 -d DIR
    python data/build/nutation.py DIR/pyerfa-2.0.1.5.tar.gz

Takes the 77 rows of numbers only, then sums them afresh and compares with ERFA's own result.
"""

import pathlib
import re
import sys
import tarfile

import erfa
import numpy as np

OUT = pathlib.Path(__file__).resolve().parents[1] / "nutation_2000b.tsv"
MEMBER = "pyerfa-2.0.1.5/liberfa/erfa/src/nut00b.c"
PSI_BIAS_MAS, EPS_BIAS_MAS = -0.135, 0.388

HEAD = """\
# What:       IAU 2000B nutation, 77 luni-solar terms. Multipliers of l, l', F, D, Omega; coefficients in 0.1
#             microarcsecond, the columns `_t` in 0.1 microarcsecond a Julian century of TT since J2000.0:
#             dpsi = sum (psi_sin + psi_sin_t T) sin a + psi_cos cos a;
#             deps = sum (eps_cos + eps_cos_t T) cos a + eps_sin sin a.
#             In lieu of planetary terms add -0.135 mas to dpsi, +0.388 mas to deps (the values for bias,
#             precession and nutation applied separately; the paper's -1.5835 and +1.6339 mas are for another use).
#             Arguments, arcsec (linear terms only belong to this model; Simon et al. 1994, Astron. Astrophys. 282, 663):
#             l  =  485868.249036 + 1717915923.2178 T     l' = 1287104.79305 + 129596581.0481 T
#             F  =  335779.526232 + 1739527262.8478 T     D  = 1072260.70369 + 1602961601.2090 T
#             Omega = 450160.398036 - 6962890.5431 T
#             Within 1 mas of IAU 2000A 1995-2050.
# Source:     McCarthy & Luzum 2003, Celest. Mech. Dyn. Astron. 85, 37; numbers as in ERFA 2.0.1 (nut00b).
# Obtained:   extracted by data/build/nutation.py from the source package pyerfa 2.0.1.5; summed afresh by the script,
#             equal to erfa.nut00b within {gap:.0e} arcsec at 1000 random instants 1950-2100.
# Licence:    ERFA is BSD-3-Clause (c) NumFOCUS Foundation; only the published numbers are taken.
# Checked by: the nutation tests of src/sky, against ERFA.
"""


def rows_from(sdist):
    with tarfile.open(sdist) as archive:
        text = archive.extractfile(MEMBER).read().decode()
    table = text[text.index("} x[] = {") :]
    table = re.sub(r"/\*.*?\*/", "", table[: table.index("};")], flags=re.S)
    rows = [re.split(r"[,\s]+", row.strip()) for row in re.findall(r"\{([^{}]+)\}", table)]
    assert len(rows) == 77 and all(len(row) == 11 for row in rows)
    return np.array(rows, dtype=float).astype(int)


def nutation_arcsec(rows, t):
    constant = np.array([485868.249036, 1287104.79305, 335779.526232, 1072260.70369, 450160.398036])
    rate = np.array([1717915923.2178, 129596581.0481, 1739527262.8478, 1602961601.2090, -6962890.5431])
    angle = np.radians((constant + rate * t[:, None]) / 3600.0) @ rows[:, :5].T
    ps, pst, pc, ec, ect, es = rows[:, 5:].T
    t = t[:, None]
    psi = ((ps + pst * t) * np.sin(angle) + pc * np.cos(angle)).sum(1) / 1e7
    eps = ((ec + ect * t) * np.cos(angle) + es * np.sin(angle)).sum(1) / 1e7
    return psi + PSI_BIAS_MAS / 1000.0, eps + EPS_BIAS_MAS / 1000.0


def main():
    rows = rows_from(sys.argv[1])
    days = np.random.default_rng(77).uniform(-18262.5, 36889.5, 1000)
    want = np.degrees(erfa.nut00b(2451545.0, days)) * 3600.0
    gap = np.abs(nutation_arcsec(rows, days / 36525.0) - want).max()
    print(f"{len(rows)} rows, {gap:.1e} arcsec from ERFA")
    assert gap < 1e-9
    names = "l\tlp\tf\td\tom\tpsi_sin\tpsi_sin_t\tpsi_cos\teps_cos\teps_cos_t\teps_sin"
    lines = ["\t".join(map(str, row)) for row in rows]
    OUT.write_text(HEAD.format(gap=gap) + "\n".join([names, *lines]) + "\n")


if __name__ == "__main__":
    main()
