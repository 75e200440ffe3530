"""Makes tests/check-values/combination_*.csv with pycanon 1.3.6 (PyPI), pandas 2.3.3.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install pycanon==1.3.6 pandas==2.3.3
    /tmp/venv/bin/python tests/python/make_combination.py

pycanon is not in requirements.txt: its values are kept, and nothing that runs needs it. The records are
drawn at random (fixed seed); the ladders are written out here once more, in Python.
"""

import csv
import itertools
import random
from pathlib import Path

import pandas
from pycanon import anonymity
from pycanon.anonymity.utils.aux_anonymity import get_equiv_class

FOLDER = Path(__file__).resolve().parent.parent / "check-values"
FACTS = ["month", "age", "sex", "mechanism"]


def band(width):
    def of(text):
        age = int(text)
        if age >= 90:
            return "90 or older"
        low = age // width * width
        return f"{low}-{min(low + width - 1, 89)}"

    return of


def same(text):
    return text


def hidden(_):
    return "*"


def quarter(text):
    year, month = text.split("-")
    return f"{year} Q{(int(month) + 2) // 3}"


def half(text):
    year, month = text.split("-")
    return f"{year} H{1 if int(month) < 7 else 2}"


LADDERS = {
    "month": [same, quarter, half, lambda text: text[:4], hidden],
    "age": [lambda text: "90 or older" if int(text) >= 90 else text, band(5), band(10), band(20), hidden],
    "sex": [same, hidden],
    "mechanism": [same, lambda text: text.split("-")[0], hidden],
}


def records(count):
    draw = random.Random(20240229)
    mechanisms = [f"{branch}-{leaf}" for branch in ("wire", "balloon", "stent", "access") for leaf in range(1, 5)]
    weights = [1 / (rank + 1) for rank in range(len(mechanisms))]
    for _ in range(count):
        yield {
            "month": f"{draw.choice([2023, 2024])}-{draw.randint(1, 12):02}",
            "age": str(min(97, max(35, round(draw.gauss(70, 11))))),
            "sex": draw.choices(["male", "female"], [7, 3])[0],
            "mechanism": draw.choices(mechanisms, weights)[0],
        }


def generalised(table, levels):
    shown = pandas.DataFrame({fact: table[fact].map(LADDERS[fact][level]) for fact, level in zip(FACTS, levels)})
    shown["outcome"] = "same"
    return shown


def measured(table, levels):
    shown = generalised(table, levels)
    sizes = [len(rows) for rows in get_equiv_class(shown, FACTS)]
    return {
        "k": anonymity.k_anonymity(shown, FACTS),
        "classes": len(sizes),
        "alone": sum(size for size in sizes if size == 1),
        "under_5": sum(size for size in sizes if size < 5),
    }


def write(name, columns, rows):
    with open(FOLDER / name, "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(columns)
        out.writerows(rows)


def main():
    table = pandas.DataFrame(records(400))
    write("combination_records.csv", FACTS, table[FACTS].values.tolist())
    sets = list(itertools.product(*(range(len(LADDERS[fact])) for fact in FACTS)))
    held = {levels: measured(table, levels) for levels in sets}
    columns = ["k", "classes", "alone", "under_5"]
    write("combination_levels.csv", FACTS + columns, [[*levels, *(held[levels][c] for c in columns)] for levels in sets])

    def loss(levels):
        return sum(level / (len(LADDERS[fact]) - 1) for fact, level in zip(FACTS, levels))

    rows = []
    for left_out in (0, 4, 20, 80):
        best = min(
            (levels for levels in sets if held[levels]["under_5"] <= left_out),
            key=lambda levels: (round(loss(levels), 9), levels),
        )
        rows.append([5, left_out, *best, held[best]["under_5"]])
    write("combination_proposal.csv", ["k", "left_out_at_most", *FACTS, "left_out"], rows)


main()
