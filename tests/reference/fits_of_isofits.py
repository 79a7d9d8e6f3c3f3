"""Writes isofits.csv: the limits of every class that the PyPI package isofits 1.0 knows, as an independent reference.

Run it with that package installed: python3 fits_of_isofits.py > isofits.csv
"""

import sys

import isofits

rows = sys.stdout
rows.write("class,over,to,upper,lower\n")
for data in (isofits.hole_data, isofits.shaft_data):
    for name in data:
        if name in ("over", "inc."):
            continue
        for over, to, limits in zip(data["over"], data["inc."], data[name]):
            if "\n" not in limits:
                continue
            upper, lower = limits.split("\n")[:2]
            rows.write(f"{name},{over},{to},{float(upper):g},{float(lower):g}\n")
