"""Makes crates/weather/tests/data/spi_milwaukee_1971_2000.csv and growing_seasons_milwaukee.csv.

Needs numpy 2.4.6 and scipy 1.17.1. Run from the project's root: python bench/goldens/drought_and_season.py
The rain and temperatures are those of the project's own milwaukee_1971_2000.dly (NOAA GHCN-Daily).
"""
import calendar
import datetime

import numpy as np
from scipy import stats

DATA = "crates/weather/tests/data/"
days = {}
for line in open(DATA + "milwaukee_1971_2000.dly"):
    year, month, element = int(line[11:15]), int(line[15:17]), line[17:21]
    for day in range(1, calendar.monthrange(year, month)[1] + 1):
        cell = line[21 + 8 * (day - 1) : 29 + 8 * (day - 1)]
        value = int(cell[:5])
        if value != -9999:
            days.setdefault(element, {})[datetime.date(year, month, day)] = value / 10

months = [(y, m) for y in range(1971, 2001) for m in range(1, 13)]


def month_total(y, m):
    dates = [datetime.date(y, m, d) for d in range(1, calendar.monthrange(y, m)[1] + 1)]
    values = [days["PRCP"].get(d, np.nan) for d in dates]
    return float(np.sum(values))


rain = np.array([month_total(*ym) for ym in months])


def spi(totals):
    out = np.full(len(totals), np.nan)
    for m in range(12):
        places = np.arange(m, len(totals), 12)
        sample = totals[places]
        sample = sample[~np.isnan(sample)]
        wet = sample[sample > 0]
        shape, _, scale = stats.gamma.fit(wet, floc=0)
        zero = 1 - len(wet) / len(sample)
        for p in places:
            if not np.isnan(totals[p]):
                chance = zero + (1 - zero) * stats.gamma.cdf(totals[p], shape, scale=scale)
                out[p] = np.clip(stats.norm.ppf(chance), -3.09, 3.09)
    return out


three = np.array([np.nan if i < 2 else rain[i - 2 : i + 1].sum() for i in range(len(rain))])
spi1, spi3 = spi(rain), spi(three)
with open(DATA + "spi_milwaukee_1971_2000.csv", "w") as out:
    out.write("month,rain_mm,spi_1,spi_3\n")
    for (y, m), r, a, b in zip(months, rain, spi1, spi3):
        out.write(f"{y}-{m:02d},{r:.1f},{a:.5f},{'' if np.isnan(b) else f'{b:.5f}'}\n")


def spell(values, start, holds):
    run = 0
    for i in range(start, len(values)):
        run = run + 1 if holds(values[i]) else 0
        if run == 6:
            return i - 5
    return None


with open(DATA + "growing_seasons_milwaukee.csv", "w") as out:
    out.write("year,start_doy,end_doy,days,hot_days\n")
    for y in range(1971, 2001):
        dates = [datetime.date(y, 1, 1) + datetime.timedelta(i) for i in range(366 if calendar.isleap(y) else 365)]
        mean = np.array([(days["TMIN"].get(d, np.nan) + days["TMAX"].get(d, np.nan)) / 2 for d in dates])
        july = (datetime.date(y, 7, 1) - dates[0]).days
        start, end = spell(mean, 0, lambda t: t > 5), spell(mean, july, lambda t: t < 5)
        hot = sum(round(days["TMAX"].get(d, -99) * 1.8 + 32) > 86 for d in dates)
        out.write(f"{y},{start + 1},{end + 1},{end - start},{hot}\n")
