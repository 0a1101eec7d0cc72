"""Makes polygons.csv: invented yard-size polygons with measures by reference libraries.

Run with geographiclib 2.1, pyproj 3.7.2, shapely 2.2.0, numpy 2.4.6 (python 3.11):  python make_polygons.py > polygons.csv
Areas and perimeters: geographiclib (Karney). Bands and distances: shapely in pyproj's azimuthal equidistant plane about
the first corner, 64 segments a quarter circle.
"""

import numpy as np
from geographiclib.geodesic import Geodesic
from pyproj import Proj
from shapely.geometry import Point, Polygon

random = np.random.default_rng(20)
print("id,ring,hole,area_m2,perimeter_m,shrunk_0762_m2,grown_1_m2,place,distance_m")
for i in range(24):
    lat, lon = random.uniform(-54, 70), random.uniform(-179, 179)
    plane = Proj(proj="aeqd", lat_0=lat, lon_0=lon, ellps="WGS84")
    corners, size = int(random.integers(3, 15)), random.uniform(3, 60)
    turn = np.sort(random.uniform(0, 2 * np.pi, corners))
    reach = size * random.uniform(0.55, 1.0, corners)
    if np.max(np.diff(np.append(turn, turn[0] + 2 * np.pi))) > 2.8:
        turn = np.arange(corners) * 2 * np.pi / corners
    lonlat = [plane(r * np.cos(a), r * np.sin(a), inverse=True) for r, a in zip(reach, turn)]
    lonlat = [(round(x, 9), round(y, 9)) for x, y in lonlat]
    hole = []
    if i % 3 == 0 and size > 15:
        hole = [plane(x, y, inverse=True) for x, y in [(-1, -1), (-1, 1.5), (1.5, 1), (1, -1)]]
        hole = [(round(x, 9), round(y, 9)) for x, y in hole]

    def measured(ring):
        polygon = Geodesic.WGS84.Polygon()
        for x, y in ring:
            polygon.AddPoint(y, x)
        _, perimeter, area = polygon.Compute(False, True)
        return abs(area), perimeter

    area, perimeter = measured(lonlat)
    flat = Polygon([plane(*p) for p in lonlat], [[plane(*p) for p in hole]] if hole else [])
    if hole:
        less, more = measured(hole)
        area, perimeter = area - less, perimeter + more
    away = plane(size * 1.7, -size * 0.4, inverse=True)
    away = (round(away[0], 9), round(away[1], 9))
    distance = flat.distance(Point(plane(*away)))
    text = lambda ring: ";".join(f"{x:.9f} {y:.9f}" for x, y in ring)
    print(
        f"P{i + 1:02d},{text(lonlat)},{text(hole)},{area:.6f},{perimeter:.6f},{flat.buffer(-0.762, 64).area:.6f},"
        f"{flat.buffer(1.0, 64).area:.6f},{text([away])},{distance:.6f}"
    )
