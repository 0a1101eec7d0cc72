"""Prints the coefficients of crates/weather/src/wide/half_power.rs.

Made with mpmath 1.4.1 at 60 digits: python bench/goldens/sine_cap.py
"""

from mpmath import acos, chebyfit, mp, mpf, pi, sqrt

mp.dps = 60


def arc(x):
    """arccos(1 - x) over the square root of x."""
    return acos(1 - mpf(x)) / sqrt(mpf(x)) if x > 0 else sqrt(mpf(2))


def cap(x):
    """What a sine of swing 1 holds above 1 - x, over x to the power 3/2."""
    x = max(mpf(x), mpf(10) ** -20)
    return (sqrt(2 - x) - (1 - x) * arc(x)) / (pi * x)


for name, function, terms in (("sine_cap", cap, 18), ("arc_cosine", arc, 20)):
    fit, error = chebyfit(function, [0, 1], terms, error=True)
    print(name, "largest error", mp.nstr(error, 3))
    for coefficient in fit[::-1]:
        print(f"    {float(coefficient)!r},")
