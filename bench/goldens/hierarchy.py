"""Values against which plant_health::efficacy::hierarchy is held.

Two made-up books of follow-ups: one with equal sampling errors, fitted by statsmodels' MixedLM with crossed variance components; one with
unequal known errors, fitted by a dense restricted likelihood written here with numpy and maximised by scipy. Run with
`python bench/goldens/hierarchy.py` in an environment with numpy, scipy, pandas and statsmodels; it writes the CSV files of the tests.
"""
import csv, pathlib
import numpy as np, pandas as pd, scipy, statsmodels, statsmodels.api as sm
from scipy.optimize import minimize

OUT = pathlib.Path(__file__).parents[2] / "crates/plant_health/tests/data"


def book(seed, equal):
    r = np.random.default_rng(seed)
    pairs, years, yards = 6, 6, 14
    pair, year, yard = r.normal(0, 0.5, pairs), r.normal(0, 0.3, years), r.normal(0, 0.35, yards)
    pair_year = r.normal(0, 0.4, (pairs, years))
    rows = []
    for _ in range(260):
        p, t, y = r.integers(pairs), r.integers(years), r.integers(yards)
        s = 0.3 if equal else float(np.round(r.uniform(0.1, 0.9), 3))
        v = -1.2 + pair[p] + year[t] + yard[y] + pair_year[p, t] + r.normal(0, np.hypot(0.35, s))
        rows.append((f"c{p}", "target", 2010 + int(t), f"yard{y:02}", round(float(v), 6), s))
    return pd.DataFrame(rows, columns=["control", "target", "year", "yard", "ln_ratio", "se"])


def design(d):
    pair = pd.Categorical(d.control)
    py = pd.Categorical(d.control + "/" + d.year.astype(str))
    year, yard = pd.Categorical(d.year), pd.Categorical(d.yard)
    return [np.eye(len(c.categories))[c.codes] for c in (pair, py, year, yard)], [c.categories for c in (pair, py, year, yard)]


def negative_log(theta, d, zs):
    s2 = d.se.to_numpy() ** 2
    v = np.diag(s2 + theta[4] ** 2) + sum(t * t * z @ z.T for t, z in zip(theta, zs))
    x, y = np.ones((len(d), 1)), d.ln_ratio.to_numpy()
    vi = np.linalg.inv(v)
    xx = x.T @ vi @ x
    b = np.linalg.solve(xx, x.T @ vi @ y)
    e = y - x @ b
    return 0.5 * ((len(d) - 1) * np.log(2 * np.pi) + np.linalg.slogdet(v)[1] + np.linalg.slogdet(xx)[1] + e @ vi @ e)


def dense(d):
    zs, names = design(d)
    best = minimize(negative_log, np.full(5, 0.4), args=(d, zs), method="Nelder-Mead", options=dict(xatol=1e-9, fatol=1e-12, maxiter=20000, maxfev=20000))
    sds = np.abs(best.x)
    s2 = d.se.to_numpy() ** 2
    x, y = np.ones((len(d), 1)), d.ln_ratio.to_numpy()
    # Mean and covariance of (intercept, effects) by the mixed-model equations.
    w = 1 / (s2 + sds[4] ** 2)
    c = np.hstack([x] + zs)
    prior = np.concatenate([[0.0]] + [np.full(z.shape[1], 1 / t**2) for t, z in zip(sds, zs)])
    a = np.linalg.inv(c.T @ (w[:, None] * c) + np.diag(prior))
    m = a @ (c.T @ (w * y))
    starts = np.cumsum([1] + [z.shape[1] for z in zs])

    def level(parts):
        l = np.zeros(len(m))
        for i in parts:
            l[i] = 1
        return l @ m, np.sqrt(l @ a @ l)

    rows = [("sd pair", sds[0], ""), ("sd pair-year", sds[1], ""), ("sd year", sds[2], ""), ("sd yard", sds[3], ""), ("sd trial", sds[4], "")]
    rows += [("ln likelihood", -best.fun, ""), ("all", *level([0]))]
    for i, k in enumerate(names[0]):
        rows.append((f"pair {k}", *level([0, starts[0] + i])))
    for i, k in enumerate(names[1]):
        control, year = k.split("/")
        parts = [0, starts[0] + list(names[0]).index(control), starts[1] + i, starts[2] + list(names[2]).index(int(year))]
        rows.append((f"pair-year {control} {year}", *level(parts)))
    for i, k in enumerate(names[3]):
        rows.append((f"yard {k}", *level([starts[3] + i])))
    return rows, sds


def by_statsmodels(d):
    d = d.assign(one=1, py=d.control + "/" + d.year.astype(str))
    vc = {"pair": "0 + C(control)", "py": "0 + C(py)", "year": "0 + C(year)", "yard": "0 + C(yard)"}
    fit = sm.MixedLM.from_formula("ln_ratio ~ 1", groups="one", re_formula="0", vc_formula=vc, data=d).fit(reml=True, method="lbfgs")
    return dict(zip(fit.model.exog_vc.names, np.sqrt(fit.vcomp))), float(np.sqrt(fit.scale)), float(fit.fe_params.iloc[0]), float(fit.bse_fe.iloc[0])


for name, seed, equal in (("equal", 11, True), ("unequal", 12, False)):
    d = book(seed, equal)
    d.to_csv(OUT / f"hierarchy_{name}.csv", index=False)
    rows, sds = dense(d)
    if equal:
        vc, scale, mean, se = by_statsmodels(d)
        print("statsmodels", statsmodels.__version__, vc, "trial", np.sqrt(scale**2 - 0.3**2), "mean", mean, se)
        print("dense      ", sds)
        rows = [("sd pair", vc["pair"], ""), ("sd pair-year", vc["py"], ""), ("sd year", vc["year"], ""), ("sd yard", vc["yard"], ""), ("sd trial", np.sqrt(scale**2 - 0.09), ""), ("all", mean, se)]
    with open(OUT / f"hierarchy_{name}_expected.csv", "w", newline="") as f:
        w = csv.writer(f)
        w.writerow(["what", "mean", "sd"])
        w.writerows((k, f"{m:.8f}", f"{s:.8f}" if s != "" else "") for k, m, s in rows)
print("numpy", np.__version__, "scipy", scipy.__version__)
