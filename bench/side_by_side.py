"""Makes the data, times both sides in turn, compares their results and prints a page of figures."""

import datetime
import gzip
import os
import pathlib
import platform
import sqlite3
import subprocess
import sys
import tempfile
import time

import numpy as np
import pandas
import pvlib
import refet
import refet.calcs

HERE = pathlib.Path(__file__).resolve().parent
DATA = HERE / "target" / "data"
OURS = HERE / "target" / "release" / "groundlore-bench"
BINARY = HERE.parent / "target" / "release" / "groundlore"

ROUNDS = 5
DAYS = 365
BASES = (4.4, 10.0, 13.0)
STATION_YEARS = 10_000
STATIONS, YARDS, FUTURES = 100, 10_000, 30
LOWER, UPPER = 10.0, 30.0
# Stands in for nought where it would divide.
NO_SWING = 1e-100
WRITES, BOOK_ROUNDS = 400, 5
RECORD = HERE.parent / "crates" / "desk" / "data" / "USW00014839.csv.gz"
SEASON_ROUNDS = 5
WANTED_RATIO = 10.0


def say(text):
    print(text, file=sys.stderr, flush=True)


def temperatures(rng, days, rows):
    """Invented days: a cool and a warm season, weather that lasts, and a day's range of a few degrees."""
    season = -13.0 * np.cos(2 * np.pi * (np.arange(days) - 20) / 365.25)
    noise = rng.normal(0.0, 2.0, (rows, days + 6))
    weather = sum(noise[:, k : k + days] for k in range(6)) * 0.7
    mean = 10.0 + rng.normal(0.0, 2.0, (rows, 1)) + season + weather
    half_range = np.abs(rng.normal(5.5, 2.0, (rows, days))) + 0.5
    return np.round(mean - half_range, 1), np.round(mean + half_range, 1)


def sine_excess(low, high, threshold):
    """The integral over the day of what a sine between two temperatures stands above a threshold."""
    middle, swing = 0.5 * (high + low), 0.5 * np.abs(high - low)
    height = np.clip((threshold - middle) / np.maximum(swing, NO_SWING), -1.0, 1.0)
    return ((middle - threshold) * np.arccos(height) + swing * np.sqrt(1.0 - height * height)) / np.pi


def sine_excess_where_it_crosses(low, high, threshold):
    """The same, with the arc cosine taken only of those days that cross the threshold."""
    middle, swing = 0.5 * (high + low), 0.5 * np.abs(high - low)
    heat = np.maximum(middle - threshold, 0.0)
    crossing = np.nonzero(np.abs(threshold - middle) < swing)
    m, s = middle[crossing], swing[crossing]
    height = (threshold - m) / s
    heat[crossing] = ((m - threshold) * np.arccos(height) + s * np.sqrt(1.0 - height * height)) / np.pi
    return heat


def triangle_excess(low, high, threshold):
    """The same for straight lines between the two."""
    over = np.maximum(np.maximum(high, low) - threshold, 0.0)
    crossing = 0.5 * over * over / np.maximum(np.abs(high - low), NO_SWING)
    return np.where(np.minimum(high, low) >= threshold, 0.5 * (high + low) - threshold, crossing)


def bent(excess, low, high, lower):
    """With the horizontal cutoff."""
    return np.maximum(excess(low, high, lower) - excess(low, high, UPPER), 0.0)


def single_sine(excess, low, high):
    return bent(excess, low, high, LOWER)


def average(low, high, lower=LOWER):
    return np.maximum(0.5 * (high + low) - lower, 0.0)


def modified_average(low, high, lower=LOWER):
    return 0.5 * (np.clip(high, lower, UPPER) + np.clip(low, lower, UPPER)) - lower


def following(low):
    """The next day's minimum along the last axis; the last day takes its own."""
    return np.concatenate([low[..., 1:], low[..., -1:]], axis=-1)


METHODS = {
    "average": average,
    "modified-average": modified_average,
    "single-sine": lambda low, high, lower=LOWER: bent(sine_excess, low, high, lower),
    "double-sine": lambda low, high, lower=LOWER: 0.5 * (bent(sine_excess, low, high, lower) + bent(sine_excess, following(low), high, lower)),
    "single-triangle": lambda low, high, lower=LOWER: bent(triangle_excess, low, high, lower),
    "double-triangle": lambda low, high, lower=LOWER: 0.5
    * (bent(triangle_excess, low, high, lower) + bent(triangle_excess, following(low), high, lower)),
}


def average_into(low, high, out, lower=LOWER):
    np.add(high, low, out=out)
    out *= 0.5
    out -= lower
    np.maximum(out, 0.0, out=out)


def modified_average_into(low, high, out, lower=LOWER):
    np.clip(high, lower, UPPER, out=out)
    out += np.clip(low, lower, UPPER)
    out *= 0.5
    out -= lower


def blocks_into(work, tmin, tmax, out, block):
    for begin in range(0, len(tmin), block):
        at = slice(begin, begin + block)
        work(tmin[at], tmax[at], out[at])


def in_blocks(work, tmin, tmax, block):
    """Columns cut so that what is in hand stays in the cache."""
    out = np.empty_like(tmin)
    for begin in range(0, len(tmin), block):
        out[begin : begin + block] = work(tmin[begin : begin + block], tmax[begin : begin + block])
    return out


def timed(work):
    begun = time.perf_counter()
    result = work()
    return time.perf_counter() - begun, result


def ours(*words):
    """Runs our side and gathers its seconds by the word before them."""
    told = subprocess.run([str(OURS), *map(str, words)], check=True, capture_output=True, text=True).stdout
    seconds = {}
    for name, value in (line.split() for line in told.splitlines()):
        seconds.setdefault(name, []).append(float(value))
    return seconds


def best(seconds):
    return min(seconds)


def median(seconds):
    return sorted(seconds)[len(seconds) // 2]


def row(work, mine, beside, theirs, note, threads="1"):
    return {"work": work, "mine": mine, "beside": beside, "theirs": theirs, "note": note, "threads": threads}


def apart(found, wanted, at_most, what):
    """The largest difference, which must not pass a bound."""
    largest = float(np.max(np.abs(found - wanted)))
    assert largest <= at_most, f"{what}: results are {largest} apart"
    return largest


def degree_days(rng):
    say("degree-days of 10,000 station-years")
    low, high = temperatures(rng, DAYS, STATION_YEARS)
    tmin, tmax = low.ravel(), high.ravel()
    tmin.astype("<f8").tofile(DATA / "tmin.f64")
    tmax.astype("<f8").tofile(DATA / "tmax.f64")
    by_hand = {
        "average, blocks by hand": (average, "average"),
        "single-sine, blocks and crossing days by hand": (lambda a, b: bent(sine_excess_where_it_crosses, a, b, LOWER), "single-sine"),
    }
    into = {"average": average_into, "modified-average": modified_average_into}
    theirs = {name: [] for name in [*METHODS, *by_hand, *(f"{name}-kept" for name in into), "single-sine-kept", "totals"]}
    room = np.zeros_like(tmin)
    mine, results = {}, {}
    for _ in range(ROUNDS):
        for name, seconds in ours("degree-days", DATA, 1).items():
            mine.setdefault(name, []).extend(seconds)
        for name, work in METHODS.items():
            seconds, results[name] = timed(lambda: work(tmin, tmax))
            theirs[name].append(seconds)
        for name, (work, _) in by_hand.items():
            seconds, results[name] = timed(lambda: in_blocks(work, tmin, tmax, 16_384))
            theirs[name].append(seconds)
        for name, work in into.items():
            seconds, _ = timed(lambda: blocks_into(work, tmin, tmax, room, 16_384))
            theirs[f"{name}-kept"].append(seconds)
            apart(room, results[name], 1e-9, name)
        crossing = lambda a, b, out: np.copyto(out, bent(sine_excess_where_it_crosses, a, b, LOWER))
        seconds, _ = timed(lambda: blocks_into(crossing, tmin, tmax, room, 16_384))
        theirs["single-sine-kept"].append(seconds)
    rows = []
    for name in METHODS:
        largest = apart(np.fromfile(DATA / f"{name}.f64", "<f8"), results[name], 1e-9, name)
        rows.append(row(f"every day, {name}", mine[name], "numpy", theirs[name], f"within {largest:.0e} C-days"))
    for name, (_, plain) in by_hand.items():
        apart(np.fromfile(DATA / f"{plain}.f64", "<f8"), results[name], 1e-9, name)
        rows.append(row(f"every day, {plain}", mine[plain], "numpy, cut up by hand", theirs[name], ""))
    for name in [*into, "single-sine"]:
        rows.append(row(f"every day, {name}, into room that is there", mine[f"{name}-kept"], "numpy, cut up by hand", theirs[f"{name}-kept"], ""))
    totals = lambda: np.stack([work(low, high, base).sum(axis=1) for base in BASES for work in METHODS.values()], axis=1)
    for _ in range(3):
        seconds, wanted = timed(totals)
        theirs["totals"].append(seconds)
    found = np.fromfile(DATA / "totals-of-seasons.f64", "<f8").reshape(wanted.shape)
    largest = apart(found, wanted, 1e-6, "totals")
    for threads in ("1", "2"):
        work = f"season totals by {wanted.shape[1]} models"
        rows.append(row(work, mine[f"totals-{threads}"], "numpy", theirs["totals"], f"within {largest:.0e} C-days", threads))
    return rows, best(mine["added"])


def vapour_pressure(celsius):
    return 0.6108 * np.exp(17.27 * celsius / (celsius + 237.3))


def evapotranspiration_days(rng):
    say("daily evapotranspiration of 100 stations by 30 years")
    days = 30 * DAYS
    low, high = temperatures(rng, days, STATIONS)
    doy = np.tile(np.resize(np.arange(1.0, 366.0), days), (STATIONS, 1))
    ea, wind = vapour_pressure(low - rng.uniform(0.0, 4.0, low.shape)), rng.uniform(0.6, 7.0, low.shape)
    solar = rng.uniform(0.15, 0.75, low.shape) * (22.0 - 17.0 * np.cos(2 * np.pi * (doy - 10.0) / 365.0))
    latitude, height = rng.uniform(25.0, 48.0, (STATIONS, 1)), np.round(rng.uniform(0.0, 1500.0, (STATIONS, 1)))
    columns = {"tmin": low, "tmax": high, "doy": doy, "ea": ea, "wind": wind, "solar": solar, "latitude": latitude, "height": height}
    for name, values in columns.items():
        values.astype("<f8").tofile(DATA / f"et-{name}.f64")

    def refet_day(at=slice(None)):
        return refet.Daily(
            tmin=low[at], tmax=high[at], ea=ea[at], rs=solar[at], uz=wind[at], zw=2, elev=height[at], lat=latitude[at], doy=doy[at],
            method="asce", rso_type="simple",
        )  # fmt: skip

    mine, theirs, results = {}, {}, {}
    forms = {"asce-short": lambda day: day.eto(), "asce-tall": lambda day: day.etr()}
    for _ in range(3):
        for name, seconds in ours("et-days", DATA, 2).items():
            mine.setdefault(name, []).extend(seconds)
        for name, form in forms.items():
            for way, work in {
                "refet, all at once": lambda: form(refet_day()),
                "refet, station by station": lambda: np.stack([form(refet_day(station)) for station in range(STATIONS)]),
            }.items():
                seconds, results[name, way] = timed(work)
                theirs.setdefault((name, way), []).append(seconds)
    rows = []
    for name in forms:
        way = min((way for form, way in theirs if form == name), key=lambda way: best(theirs[name, way]))
        largest = apart(np.fromfile(DATA / f"et-{name}.f64", "<f8"), results[name, way].ravel(), 0.01, name)
        for threads in ("1", "2"):
            work = f"daily ET₀, {name}, {low.size:,} days"
            rows.append(row(work, mine[f"et-{name}-{threads}"], way, theirs[name, way], f"within {largest:.0e} mm", threads))
    return rows


def evapotranspiration_hours(rng):
    say("hourly evapotranspiration of 20 stations by five years")
    stations = 20
    begins = pandas.date_range("2015-01-01", "2019-12-31 23:00", freq="h")
    doy, time_utc = np.tile(begins.day_of_year.to_numpy(), (stations, 1)), np.tile(begins.hour.to_numpy(), (stations, 1))
    latitude, longitude = rng.uniform(25.0, 48.0, (stations, 1)), np.round(rng.uniform(-120.0, -70.0, (stations, 1)), 2)
    height = np.round(rng.uniform(0.0, 1500.0, (stations, 1)))
    sun = np.sin(2 * np.pi * (time_utc + longitude / 15.0 - 6.0) / 24.0)
    air = 10.0 - 13.0 * np.cos(2 * np.pi * (doy - 20) / 365.25) + 5.0 * sun + rng.normal(0.0, 2.0, doy.shape)
    ea, wind = vapour_pressure(air - rng.uniform(1.0, 10.0, air.shape)), rng.uniform(0.3, 7.0, air.shape)
    solar = np.maximum(sun, 0.0) * rng.uniform(0.8, 3.2, air.shape)
    columns = {"air": air, "ea": ea, "wind": wind, "solar": solar, "latitude": latitude, "longitude": longitude, "height": height}
    for name, values in columns.items():
        values.astype("<f8").tofile(DATA / f"hour-{name}.f64")

    def refet_hours():
        return refet.Hourly(
            tmean=air, ea=ea, rs=solar, uz=wind, zw=2, elev=height, lat=latitude, lon=longitude, doy=doy, time=time_utc, method="asce"
        )

    mine, theirs = {}, []
    for _ in range(3):
        for name, seconds in ours("et-hours", DATA, 2).items():
            mine.setdefault(name, []).extend(seconds)
        seconds, wanted = timed(lambda: refet_hours().eto())
        theirs.append(seconds)
    found = np.fromfile(DATA / "hours.f64", "<f8").reshape(wanted.shape)
    # Under a low sun and at night refet takes a clear sky, where we take the cloud of the last high sun: compared by day alone.
    lat, lon = np.radians(latitude), np.radians(longitude)
    calcs = refet.calcs
    tilt = calcs.declination(doy, "asce")
    turn = lambda at: calcs.solar_hour_angle(calcs.solar_time_rad(lon, at, calcs.seasonal_correction(doy)))
    height = lambda at: np.arcsin(np.sin(lat) * np.sin(tilt) + np.cos(lat) * np.cos(tilt) * np.cos(turn(at)))
    # refet tells a low sun at the start of the hour, ours in its middle; and it is told the day by UTC, where ours is the sun's own.
    same_day = np.floor((time_utc + 0.5 + longitude / 15.0) / 24.0) == 0
    high = (np.minimum(height(time_utc), height(time_utc + 0.5)) > 0.31) & same_day
    largest = apart(found[high], wanted[high], 0.01, "hours")
    note = f"under a high sun within {largest:.0e} mm"
    return [row(f"hourly ET₀, asce-short, {air.size:,} hours", mine[f"hours-{n}"], "refet, all at once", theirs, note, n) for n in ("1", "2")]


def sun_positions():
    say("sun positions")
    place = (42.955, -87.904)
    moments = pandas.date_range("2015-01-01", periods=50_000, freq="1h17min", tz="UTC")
    (moments.as_unit("ns").asi8 / 1e9).astype("<f8").tofile(DATA / "moments.f64")
    mine, theirs = {}, {"default (SPA)": [], "ephemeris": []}
    for _ in range(3):
        for name, seconds in ours("sun", DATA, *place, 2).items():
            mine.setdefault(name, []).extend(seconds)
        seconds, wanted = timed(lambda: pvlib.solarposition.get_solarposition(moments, *place))
        theirs["default (SPA)"].append(seconds)
        seconds, short = timed(lambda: pvlib.solarposition.ephemeris(moments, *place))
        theirs["ephemeris"].append(seconds)
    zenith, azimuth = np.fromfile(DATA / "sun.f64", "<f8").reshape(-1, 2).T
    turned = lambda degrees: np.abs((degrees + 180.0) % 360.0 - 180.0)
    off = lambda table: float(max(np.max(np.abs(zenith - (90.0 - table["elevation"]))), np.max(turned(azimuth - table["azimuth"]))))
    spa, series = off(wanted), off(short)
    assert spa < 0.01, f"the sun stands {spa} degrees off"
    rows = []
    for n in ("1", "2"):
        work = f"sun positions, {len(moments):,} moments"
        rows.append(row(work, mine[f"sun-{n}"], "pvlib, default (SPA)", theirs["default (SPA)"], f"within {spa:.4f}°; ours is a short series", n))
        rows.append(row(work, mine[f"sun-{n}"], "pvlib, `ephemeris`", theirs["ephemeris"], f"that stands {series:.3f}° off ours", n))
    return rows


def dates_with_numpy(tmin, tmax, totals):
    """Running sums by station, then one search a station and future for all its yards."""
    first, on = datetime.date(1985, 1, 1), datetime.date(2015, 4, 15)
    index = lambda year, month, day: (datetime.date(year, month, day) - first).days
    known = (on - first).days
    low, high = tmin[:, :known], tmax[:, :known]
    daily = in_blocks(lambda a, b: single_sine(sine_excess_where_it_crosses, a, b), low.ravel(), high.ravel(), 16_384).reshape(low.shape)
    prefix = np.zeros((STATIONS, known + 1))
    np.cumsum(daily, axis=1, out=prefix[:, 1:])
    summed = time.perf_counter()
    dates = np.empty((STATIONS, totals.shape[1], FUTURES))
    for station in range(STATIONS):
        sums = prefix[station]
        so_far = sums[known] - sums[index(2015, 1, 1)]
        wanted = totals[station] - so_far
        slack = 1e-9 * np.maximum(np.abs(wanted), 1.0)
        for future in range(FUTURES):
            begin, end = index(1985 + future, 4, 15), index(1986 + future, 1, 1)
            place = np.searchsorted(sums[begin + 1 : end + 1], sums[begin] + wanted - slack)
            dates[station, :, future] = np.where(place < end - begin, place, -1)
    return dates, summed


def event_dates(rng):
    say("event dates of 10,000 yards in 30 futures")
    days = (datetime.date(2015, 12, 31) - datetime.date(1985, 1, 1)).days + 1
    tmin, tmax = temperatures(rng, days, STATIONS)
    totals = rng.uniform(250.0, 1_900.0, (STATIONS, YARDS // STATIONS))
    for name, values in (("station-tmin", tmin), ("station-tmax", tmax), ("totals", totals)):
        values.astype("<f8").tofile(DATA / f"{name}.f64")
    mine, whole, alone = {}, [], []
    for _ in range(ROUNDS):
        for name, seconds in ours("event-dates", DATA, STATIONS, 1).items():
            mine.setdefault(name, []).extend(seconds)
        begun = time.perf_counter()
        dates, summed = dates_with_numpy(tmin, tmax, totals)
        ended = time.perf_counter()
        whole.append(ended - begun)
        alone.append(ended - summed)
    our_dates = np.fromfile(DATA / "dates.f64", "<f8").reshape(dates.shape)
    differing = int(np.count_nonzero(our_dates != dates))
    assert differing == 0, f"{differing} of {dates.size} dates differ"
    none = int(np.count_nonzero(dates < 0))
    note = f"all {dates.size:,} dates the same, {none:,} of them *not reached*"
    rows = [
        row("running sums and event dates", mine["sums-and-dates"], "numpy, cut up by hand", whole, note),
        row("of that, the dates alone", mine["dates-alone"], "numpy", alone, ""),
    ]
    return rows, mine["ensembles"]


def book_with_python(file):
    book = sqlite3.connect(file, isolation_level=None)
    for pragma in ("foreign_keys = ON", "synchronous = FULL", "fullfsync = ON", "trusted_schema = OFF", "cell_size_check = ON"):
        book.execute(f"PRAGMA {pragma}")
    book.execute("PRAGMA recursive_triggers = ON")
    assert book.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    columns = "yard_id, task_id, date, who, what, minutes_min, quantity_text, note"
    line = (1, None, "2015-08-17", "Ash", "Edged the front bed", 25.0, None, None)
    begun = time.perf_counter()
    for _ in range(WRITES):
        book.execute("BEGIN IMMEDIATE")
        book.execute(f"INSERT INTO work_log ({columns}) VALUES (?, ?, ?, ?, ?, ?, ?, ?)", line)
        book.execute("COMMIT")
    seconds = time.perf_counter() - begun
    book.close()
    return seconds


def sync_alone(file):
    """What the disk itself takes for as many small writes that must last."""
    begun = time.perf_counter()
    with open(file, "wb", buffering=0) as plain:
        for _ in range(WRITES):
            plain.write(b"x" * 4096)
            os.fdatasync(plain.fileno())
    return time.perf_counter() - begun


def book_writes():
    say("book writes, each on the disk before the next")
    mine, theirs, disk = [], [], []
    with tempfile.TemporaryDirectory(dir=DATA) as folder:
        folder = pathlib.Path(folder)
        for kind in ("ours", "theirs"):
            subprocess.run([str(OURS), "new-book", str(folder / f"{kind}.book")], check=True)
        for _ in range(BOOK_ROUNDS):
            mine += ours("book-writes", folder / "ours.book", WRITES)["book"]
            theirs.append(book_with_python(folder / "theirs.book"))
            disk.append(sync_alone(folder / "plain"))
    return mine, theirs, disk


def start_up():
    if not BINARY.exists():
        return None
    say("the binary")

    def once(*words, folder=None):
        begun = time.perf_counter()
        subprocess.run([str(BINARY), *words], check=True, cwd=folder, capture_output=True, stdin=subprocess.DEVNULL)
        return time.perf_counter() - begun

    starts = [once("--version") for _ in range(50)]
    demos = []
    for _ in range(3):
        with tempfile.TemporaryDirectory(dir=DATA) as folder:
            demos.append(once("demo", folder=folder))
    return starts, demos


def season():
    """The season of a whole book, and of one yard."""
    say("the season of 10,000 yards")
    record = DATA / "record.csv"
    record.write_bytes(gzip.decompress(RECORD.read_bytes()))
    return ours("season-grid", record, SEASON_ROUNDS), ours("one-yard", record, 30)


def print_season(book, yard):
    shown = lambda name: f"{spoken(best(book[name]))} ({spoken(median(book[name]))})"
    whole = lambda name: int(book[name][0])
    print("\n## The season of a whole book\n")
    print(f"{whole('events')} events spread over the {whole('events-of-lore')} of the lore, {whole('futures')} futures, 100 stations made from")
    print("one record by shifts, asked on 2015-04-15; every yard has its own shift within 3 K and one sight, weighed within the time; two threads.")
    print(f"Best of {SEASON_ROUNDS} rounds by the clock (the middle one), and the least processor time of a round.\n")
    print("| work | by the clock | processor |\n| --- | --- | --- |")
    print(f"| 100 grids, once a station and day | {shown('grids')} | {best(book['grids-cpu']):.2f} s |")
    for number in (1_000, 3_000, 10_000):
        print(f"| {number:,} yards | {shown(f'yards-{number}')} | {best(book[f'yards-cpu-{number}']):.2f} s |")
    one, futures = best(yard["one-yard"]), int(yard["one-yard-number-of-futures"][0])
    print(f"| one yard, all {whole('events-of-lore')} events, the desk's usual {futures} futures | {spoken(one)} ({spoken(median(yard['one-yard']))}) | |")
    for name, words in (("events", "the events out of the lore"), ("outlook", "the futures out of the record"), ("odds", "the odds, two threads")):
        print(f"| of that, {words} | {spoken(best(yard[f'one-yard-{name}']))} | |")
    long, long_futures = best(yard["one-yard-long"]), int(yard["one-yard-long-number-of-futures"][0])
    print(f"| one yard with the whole record of 77 years, {long_futures} futures | {spoken(long)} ({spoken(median(yard['one-yard-long']))}) | |")
    many, cold = best(book["yards-10000"]), best(book["yards-10000"]) + best(book["grids"])
    print(f"\nWanted: 10,000 yards in at most 1 s from a warm book: {many:.2f} s, {said(many <= 1.0)}; {cold:.2f} s with the grids made first.")
    print(f"Linear in yards: {best(book['yards-10000']) / best(book['yards-1000']):.1f} times as long for 10 times the yards.")
    print(f"Under 1 GB: {best(book['memory-mb']):.0f} MB at most, {said(best(book['memory-mb']) < 1000)}.")
    print(f"One yard in under 20 ms: {one * 1e3:.1f} ms, {said(one < 0.02)}. From a warm record; reading the record is not in it. The odds run on two threads.\n")
    print("Dates of yards between the steps of a grid against the exact path, 40 shifts, in days:\n")
    print("| asked in | dates | differ | 95th percentile | 99th | largest | in one path only |\n| --- | --- | --- | --- | --- | --- | --- |")
    for name in ("spring", "summer", "winter"):
        cells = [f"{whole(f'error-{name}-{cell}'):,}" for cell in ("dates", "differ", "p95", "p99", "largest", "one-sided")]
        print(f"| {name} | {' | '.join(cells)} |")


def said(holds):
    return "met" if holds else "**not met**"


def spoken(seconds):
    return f"{seconds * 1e3:.2f} ms" if seconds < 1.0 else f"{seconds:.2f} s"


def command(*words):
    return subprocess.run(words, check=True, capture_output=True, text=True).stdout.strip()


def processor():
    names = [line.split(":", 1)[1].strip() for line in open("/proc/cpuinfo") if line.startswith("model name")]
    return f"{names[0] if names else platform.machine()}, {os.cpu_count()} cores"


def main():
    DATA.mkdir(parents=True, exist_ok=True)
    rng = np.random.default_rng(20150817)
    load = os.getloadavg()[0]
    book_season, yard_season = season()
    rows, added = degree_days(rng)
    rows += evapotranspiration_days(rng) + evapotranspiration_hours(rng) + sun_positions()
    date_rows, ensembles = event_dates(rng)
    mine, theirs, disk = book_writes()
    started = start_up()

    print("# Timings\n")
    print("Written by `bench/run`; both sides on the same data in the same run, in turn. numpy and what is built on it runs on one thread;")
    print("we run on one, and on two where the row says so.\n")
    print(f"- {datetime.date.today()}, {processor()}; load when it began {load:.1f}, when it ended {os.getloadavg()[0]:.1f}")
    print("  (above 1: others were at work on the machine, and times by the clock are longer than they need be)")
    print(f"- {command('rustc', '--version')}; Python {platform.python_version()}, numpy {np.__version__}, ", end="")
    print(f"refet {refet.__version__}, pvlib {pvlib.__version__}, SQLite {sqlite3.sqlite_version} under Python")
    print("- best of the rounds, in brackets the middle one; the ratio is of the best, over 1 where Groundlore is faster\n")
    print("| work | threads | Groundlore | beside | takes | ratio | results |\n| --- | --- | --- | --- | --- | --- | --- |")
    for entry in rows + date_rows:
        own, other = entry["mine"], entry["theirs"]
        print(
            f"| {entry['work']} | {entry['threads']} | {spoken(best(own))} ({spoken(median(own))}) | {entry['beside']}"
            f" | {spoken(best(other))} ({spoken(median(other))}) | {best(other) / best(own):.1f} | {entry['note']} |"
        )
    short = [f"{e['work']} ({best(e['theirs']) / best(e['mine']):.1f})" for e in rows if e["threads"] == "1" and best(e["theirs"]) < WANTED_RATIO * best(e["mine"])]
    print(f"\nWanted: at least {WANTED_RATIO:.0f} times on degree-days and evapotranspiration. On one thread **not reached** in: {'; '.join(short) or 'none'}.")
    print(f"\nDegree-days: {STATION_YEARS:,} station-years of {DAYS} days, {LOWER:g} to {UPPER:g} °C with a horizontal cutoff (the average has none). ", end="")
    print("*Every day* writes a column as long as")
    gigabytes = 3 * 8 * STATION_YEARS * DAYS / 1e9
    print(f"those it reads, so that memory sets its pace: to add two such columns into a third and no more took {spoken(added)} here, which is")
    print(f"{gigabytes / added:.0f} GB a second ({4 * gigabytes / 3 / added:.0f} with the reading that goes before a write), and nothing that reads two columns and writes one can be")
    print("faster. Into new room the system's handing out of pages comes on top; numpy asks it for large pages, which a program without unsafe code")
    print("cannot. Both sides of those rows run on one thread. *Season totals* is what")
    print(f"the clocks ask for: bases {', '.join(f'{base:g}' for base in BASES)} °C by six methods, a sum a season.")
    print(f"\nEvent dates: {YARDS:,} yards on {STATIONS} stations, {FUTURES} futures each, single sine. Making the {STATIONS} ensembles (gaps sought")
    print(f"and filled) takes {spoken(best(ensembles))} more, once a station and day; numpy does none of that here.")
    print_season(book_season, yard_season)
    print()
    print("## The book\n")
    print(f"{WRITES} lines of the work log, a transaction each, on the disk before the next begins; best of {BOOK_ROUNDS} rounds (middle).\n")
    print("| | writes a second |\n| --- | --- |")
    for name, seconds in (("groundlore-book", mine), ("Python's sqlite3, same schema and pragmas", theirs), ("4 kB and fdatasync alone", disk)):
        print(f"| {name} | {WRITES / best(seconds):,.0f} ({WRITES / median(seconds):,.0f}) |")
    print("\n## The binary\n")
    if started is None:
        print(f"Not timed: `{BINARY.relative_to(HERE.parent)}` is not built.")
    else:
        starts, demos = started
        print(f"- `groundlore --version`: {spoken(best(starts))} ({spoken(median(starts))}), {len(starts)} starts")
        print(f"- `groundlore demo`: {spoken(best(demos))} ({spoken(median(demos))}), {len(demos)} runs")
    for file in [*DATA.glob("*.f64"), DATA / "record.csv"]:
        file.unlink()


if __name__ == "__main__":
    main()
