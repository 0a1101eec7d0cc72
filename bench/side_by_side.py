"""Makes the data, times both sides in turn, compares their results and prints a page of figures."""

import datetime
import os
import pathlib
import platform
import sqlite3
import subprocess
import sys
import tempfile
import time

import numpy as np

HERE = pathlib.Path(__file__).resolve().parent
DATA = HERE / "target" / "data"
OURS = HERE / "target" / "release" / "groundlore-bench"
BINARY = HERE.parent / "target" / "release" / "groundlore"

ROUNDS = 7
STATION_YEARS = 10_000
STATIONS, YARDS, FUTURES = 100, 10_000, 30
LOWER, UPPER = 10.0, 30.0
WRITES, BOOK_ROUNDS = 400, 5


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


def excess_everywhere(middle, swing, threshold):
    """The integral over the day of what a sine stands above a threshold, with no day left out."""
    with np.errstate(divide="ignore", invalid="ignore"):
        height = np.clip((threshold - middle) / swing, -1.0, 1.0)
    return ((middle - threshold) * np.arccos(height) + swing * np.sqrt(1.0 - height * height)) / np.pi


def excess_where_it_crosses(middle, swing, threshold):
    """The same, with the arc cosine taken only of those days that cross the threshold."""
    heat = np.maximum(middle - threshold, 0.0)
    crossing = np.flatnonzero(np.abs(threshold - middle) < swing)
    m, s = middle[crossing], swing[crossing]
    height = (threshold - m) / s
    heat[crossing] = ((m - threshold) * np.arccos(height) + s * np.sqrt(1.0 - height * height)) / np.pi
    return heat


def single_sine(excess, tmin, tmax):
    middle, swing = 0.5 * (tmax + tmin), 0.5 * np.abs(tmax - tmin)
    return np.maximum(excess(middle, swing, LOWER) - excess(middle, swing, UPPER), 0.0)


def average(tmin, tmax):
    return np.maximum(0.5 * (tmax + tmin) - LOWER, 0.0)


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


def degree_days(rng):
    say("degree-days of 10,000 station-years")
    tmin, tmax = temperatures(rng, 365, STATION_YEARS)
    tmin, tmax = tmin.ravel(), tmax.ravel()
    tmin.astype("<f8").tofile(DATA / "tmin.f64")
    tmax.astype("<f8").tofile(DATA / "tmax.f64")
    sine = lambda excess: lambda low, high: single_sine(excess, low, high)
    ways = {
        "average": {"whole columns": lambda: average(tmin, tmax), "blocks": lambda: in_blocks(average, tmin, tmax, 16_384)},
        "single-sine": {
            "whole columns": lambda: single_sine(excess_everywhere, tmin, tmax),
            "blocks": lambda: in_blocks(sine(excess_everywhere), tmin, tmax, 16_384),
            "blocks, crossing days only": lambda: in_blocks(sine(excess_where_it_crosses), tmin, tmax, 16_384),
        },
    }
    theirs = {name: {way: [] for way in by_way} for name, by_way in ways.items()}
    mine, results = {}, {}
    for _ in range(ROUNDS):
        for name, seconds in ours("degree-days", DATA, 1).items():
            mine.setdefault(name, []).extend(seconds)
        for name, by_way in ways.items():
            for way, work in by_way.items():
                seconds, results[name, way] = timed(work)
                theirs[name][way].append(seconds)
    rows = []
    for name, by_way in theirs.items():
        our_result = np.fromfile(DATA / f"{name}.f64", "<f8")
        for way in by_way:
            apart = float(np.max(np.abs(our_result - results[name, way])))
            assert apart <= 1e-9, f"{name}, {way}: results are {apart} apart"
        way = min(by_way, key=lambda way: best(by_way[way]))
        apart = float(np.max(np.abs(our_result - results[name, way])))
        rows.append((f"{name}, {len(tmin):,} days", mine[name], f"numpy, {way}", by_way[way], f"largest difference {apart:.1e}"))
    return rows


def dates_with_numpy(tmin, tmax, totals):
    """Running sums by station, then one search a station and future for all its yards."""
    first, on = datetime.date(1985, 1, 1), datetime.date(2015, 4, 15)
    index = lambda year, month, day: (datetime.date(year, month, day) - first).days
    known = (on - first).days
    low, high = tmin[:, :known], tmax[:, :known]
    daily = in_blocks(lambda a, b: single_sine(excess_where_it_crosses, a, b), low.ravel(), high.ravel(), 16_384).reshape(low.shape)
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
        ("running sums and event dates", mine["sums-and-dates"], "numpy", whole, note),
        ("of that, the dates alone", mine["dates-alone"], "numpy", alone, ""),
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
    rows = degree_days(rng)
    date_rows, ensembles = event_dates(rng)
    mine, theirs, disk = book_writes()
    started = start_up()

    print("# Timings\n")
    print("Written by `bench/run`; both sides on the same data in the same run, in turn, each on one core.\n")
    print(f"- {datetime.date.today()}, {processor()}; load when it began {load:.1f}")
    print(f"- {command('rustc', '--version')}; Python {platform.python_version()}, numpy {np.__version__}, ", end="")
    print(f"SQLite {sqlite3.sqlite_version} under Python")
    print(f"- best of {ROUNDS} rounds, in brackets the middle one; the ratio is of the best, over 1 where Groundlore is faster\n")
    print("| work | Groundlore | beside | takes | ratio | results |\n| --- | --- | --- | --- | --- | --- |")
    for work, own, beside, other, note in rows + date_rows:
        print(
            f"| {work} | {spoken(best(own))} ({spoken(median(own))}) | {beside} | {spoken(best(other))} ({spoken(median(other))})"
            f" | {best(other) / best(own):.1f} | {note} |"
        )
    print(f"\nDegree-days: {STATION_YEARS:,} station-years. Event dates: {YARDS:,} yards on {STATIONS} stations, {FUTURES} futures each,")
    print(f"single sine {LOWER:g} to {UPPER:g} °C with a horizontal cutoff. Making the {STATIONS} ensembles (gaps sought and filled) takes")
    print(f"{spoken(best(ensembles))} more, once a station and day; numpy does none of that here.\n")
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
    for file in DATA.glob("*.f64"):
        file.unlink()


if __name__ == "__main__":
    main()
