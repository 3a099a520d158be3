"""Write deep_sky.tsv: places and magnitudes of the objects of data/deep_sky.csv from another compilation.

    npm pack d3-celestial@0.7.35
    python tests/reference/make_deep_sky.py d3-celestial-0.7.35.tgz

Its data/dsos.14.json goes back to the Saguaro Astronomy Club's database 8.1, its data/messier.json to older handbooks (whole minutes, tenths
of a magnitude). Where neither has an object, or no magnitude, the column is empty.
"""

import csv
import json
import pathlib
import sys
import tarfile

OUT = pathlib.Path(__file__).with_name("deep_sky.tsv")
TABLE = pathlib.Path(__file__).resolve().parents[2] / "data" / "deep_sky.csv"

HEAD = """\
# What:       J2000 places (degrees) and V magnitudes of the objects of data/deep_sky.csv in another compilation; v_messier: in an older one
# Source:     npm package d3-celestial 0.7.35, data/dsos.14.json (Saguaro Astronomy Club database 8.1) and data/messier.json;
#             tests/reference/make_deep_sky.py
# Licence:    BSD-3-Clause, (c) 2015 Olaf Frohn; facts only are taken
# Checked by: tests/it/deep_sky.rs
"""


def features(archive, name):
    return json.load(archive.extractfile(f"package/data/{name}"))["features"]


def key(catalogue):
    """NGC0104 as NGC 104, Mel022 as M 45."""
    if catalogue == "Mel022":
        return "M 45"
    letters = catalogue.rstrip("0123456789")
    return f"{letters} {int(catalogue[len(letters):])}"


def main():
    with tarfile.open(sys.argv[1]) as archive:
        objects = {feature["id"]: feature for feature in features(archive, "dsos.14.json")}
        messier = {feature["id"]: feature for feature in features(archive, "messier.json")}
    lines = [line for line in TABLE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    with OUT.open("w", encoding="utf-8") as out:
        out.write(HEAD + "id\tra_deg\tdec_deg\tv\tv_messier\n")
        for row in csv.DictReader(lines):
            found = objects.get(key(row["catalogue"]))
            if found is None:
                continue
            ra, dec = found["geometry"]["coordinates"]
            v = found["properties"]["mag"]
            older = messier.get(row["id"].upper(), {"properties": {"mag": ""}})["properties"]["mag"]
            out.write(f"{row['id']}\t{ra % 360:.4f}\t{dec:.4f}\t{'' if float(v) == 999 else v}\t{older}\n")


main()
