"""Check values of where the sun stands, and of its rise, transit and set.

Made with pvlib 0.16.1, pandas 2.3.3, numpy 2.4.6, scipy 1.17.1:
    python bench/goldens/sun.py
writes crates/weather/tests/data/goldens_sun_position.csv and goldens_sun_times.csv.

Positions by the long reference algorithm (SPA: `spa_python`, delta_t=69), geometric heights without refraction; places and moments from a
seeded generator, both hemispheres and inside the polar circles. Rise and set are the moments at which that algorithm's sun stands at -0.8333
degrees, sought about `sun_rise_set_transit_spa`; that function's own answers stand up to some minutes off in high latitudes, where it takes
the set of the day before. Days shorter than two hours or longer than 22 are left out: there a little arc is much time.
"""

import csv
import pathlib

import numpy as np
import pandas as pd
from pvlib import solarposition
from scipy.optimize import brentq

DATA = pathlib.Path(__file__).parents[2] / "crates/weather/tests/data"
rng = np.random.default_rng(20260302)


def write(name, header, rows):
    with open(DATA / name, "w", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)


def place():
    return round(float(rng.uniform(-78, 78)), 4), round(float(rng.uniform(-180, 180)), 4)


def positions():
    rows = []
    for _ in range(120):
        latitude, longitude = place()
        moment = pd.Timestamp("1990-01-01", tz="UTC") + pd.Timedelta(minutes=int(rng.integers(0, 60 * 24 * 365 * 50)))
        sun = solarposition.spa_python(pd.DatetimeIndex([moment]), latitude, longitude, delta_t=69.0).iloc[0]
        azimuth_at_most = 0.01 if 1.0 < sun["zenith"] < 179.0 else 0.6
        rows.append(
            ["pvlib 0.16.1 SPA", latitude, longitude, moment.strftime("%Y-%m-%dT%H:%M:%SZ")]
            + [f"{sun['zenith']:.5f}", f"{sun['azimuth']:.5f}", 0.01, azimuth_at_most]
        )
    header = "source,latitude,longitude,utc,zenith_deg,azimuth_deg,zenith_tolerance_deg,azimuth_tolerance_deg"
    write("goldens_sun_position.csv", header.split(","), rows)


def at_the_horizon(near, latitude, longitude):
    """The moment within half an hour of another at which the sun's middle stands at -0.8333 degrees."""
    near = near.tz_convert("UTC")

    def above(seconds):
        moment = pd.DatetimeIndex([near + pd.Timedelta(seconds=float(seconds))])
        return float(solarposition.spa_python(moment, latitude, longitude, delta_t=69.0)["elevation"].iloc[0]) + 0.8333

    return near + pd.Timedelta(seconds=brentq(above, -1800, 1800, xtol=0.1))


def times():
    rows = []
    while len(rows) < 80:
        latitude, longitude = place()
        if len(rows) % 4 == 0:
            # Every fourth place lies inside a polar circle.
            latitude = round(float(np.copysign(rng.uniform(67, 78), latitude)), 4)
        offset = int(round(longitude / 15))
        zone = f"Etc/GMT{-offset:+d}" if offset else "UTC"
        day = pd.Timestamp("2000-01-01") + pd.Timedelta(days=int(rng.integers(0, 365 * 40)))
        around = pd.DatetimeIndex([day + pd.Timedelta(days=step) for step in (-1, 0, 1)]).tz_localize(zone)
        table = solarposition.sun_rise_set_transit_spa(around, latitude, longitude, delta_t=69.0)
        if table["sunrise"].isna().any() != table["sunrise"].isna().all():
            continue
        sun = table.iloc[1]
        length = (sun["sunset"] - sun["sunrise"]).total_seconds() / 3600 if pd.notna(sun["sunrise"]) else None
        if length is not None and not 2.0 < length < 22.0:
            continue
        if length is not None:
            sun = sun.copy()
            for name in ("sunrise", "sunset"):
                sun[name] = at_the_horizon(sun[name], latitude, longitude)
        told = lambda moment: "" if pd.isna(moment) else moment.tz_convert("UTC").round("s").strftime("%Y-%m-%dT%H:%M:%SZ")
        rows.append(
            ["pvlib 0.16.1 SPA", latitude, longitude, str(day.date()), offset]
            + [told(sun[name]) for name in ("sunrise", "transit", "sunset")]
            + [60]
        )
    header = "source,latitude,longitude,local_date,utc_offset_h,rise_utc,transit_utc,set_utc,tolerance_s"
    write("goldens_sun_times.csv", header.split(","), rows)


positions()
times()
