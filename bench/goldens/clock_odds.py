"""Check values for the clocks of the season: shifts learned from sights, and odds widened by errors in days.

Made with numpy 2.4.6, scipy 1.17.1, scikit-learn 1.7.2:
    python bench/goldens/clock_odds.py
writes crates/plant_health/tests/data/clock_shifts.csv and clock_mixtures.csv.

shifts: Gaussian process regression with a constant kernel (what the book shares) and a constant times Matern(nu=0.5), that is
exp(-distance / range) (what near yards share); each sight with its own variance.
mixtures: quantiles of an equal mixture of normals, one about each of some days, by root finding on its distribution function.
"""

import csv
import pathlib

import numpy
from scipy.optimize import brentq
from scipy.stats import norm
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import ConstantKernel, Matern

DATA = pathlib.Path(__file__).parents[2] / "crates/plant_health/tests/data"
RANGE_M = 3000.0


def shifts():
    random = numpy.random.default_rng(20260101)
    rows = []
    for case in range(8):
        count = int(random.integers(1, 7))
        sd = float(random.uniform(3, 9))
        places = random.uniform(-6000, 6000, size=(count, 2)).round(0)
        residuals = random.normal(0, sd, size=count).round(1)
        doubts = random.uniform(1, 5, size=count).round(1)
        asked = random.uniform(-6000, 6000, size=2).round(0)
        if case == 0:
            asked = places[0]
        book = yard = 0.5 * sd * sd
        kernel = ConstantKernel(book, "fixed") + ConstantKernel(yard, "fixed") * Matern(RANGE_M, "fixed", nu=0.5)
        model = GaussianProcessRegressor(kernel, alpha=doubts**2, optimizer=None).fit(places, residuals)
        mean, deviation = model.predict(asked.reshape(1, 2), return_std=True)
        sights = ";".join(f"{e} {n} {r} {d}" for (e, n), r, d in zip(places, residuals, doubts))
        rows.append([f"GP-{case + 1}", repr(sd), f"{asked[0]} {asked[1]}", sights, repr(float(mean[0])), repr(float(deviation[0]))])
    with open(DATA / "clock_shifts.csv", "w", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["id", "sd_days", "asked_m", "sights_east_north_residual_doubt", "mean_days", "sd_after_days"])
        writer.writerows(rows)


def mixtures():
    random = numpy.random.default_rng(20260102)
    rows = []
    for case in range(8):
        days = sorted(int(day) for day in random.integers(100, 160, size=int(random.integers(15, 60))))
        sd = float(random.uniform(3, 10))
        share = lambda day: norm.cdf((day - numpy.array(days)) / sd).mean()
        quantiles = [brentq(lambda day: share(day) - p, 0, 300) for p in (0.1, 0.5, 0.9)]
        rows.append([f"MX-{case + 1}", " ".join(map(str, days)), repr(sd)] + [repr(q) for q in quantiles])
    with open(DATA / "clock_mixtures.csv", "w", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["id", "days_of_year", "sd_days", "p10", "p50", "p90"])
        writer.writerows(rows)


shifts()
mixtures()
