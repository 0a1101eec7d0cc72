"""Chances against which plant_health::drift::alarm is held, by simulating the running sum itself (numpy, 4 million series a row)."""
import numpy as np

rng = np.random.default_rng(5)
for slack, limit, shift, n in ((0.5, 2.5, 0.0, 10), (0.5, 3.0, 0.0, 10), (0.5, 3.0, 1.0, 5), (0.25, 4.0, 0.5, 20)):
    hit, total = 0, 0
    for _ in range(8):
        m = 500_000
        c, over = np.zeros(m), np.zeros(m, bool)
        for _ in range(n):
            c = np.maximum(0, c + rng.normal(shift, 1, m) - slack)
            over |= c > limit
        hit, total = hit + over.sum(), total + m
    p = hit / total
    print(f"({slack}, {limit}, {shift}, {n}, {p:.6f}),  // standard error {np.sqrt(p * (1 - p) / total):.6f}")
