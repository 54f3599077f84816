"""Reference values for the partial pooling of proportions.

Model (Gelman et al., Bayesian Data Analysis, chapter 5): y_j of n_j with chance
theta_j, theta_j ~ Beta(a, b), hyperprior p(a, b) ~ (a + b)^(-5/2). The
hyperparameters are integrated numerically, once with Gauss-Legendre nodes and
once with Simpson's rule; both must agree to 1e-7, and the Gauss rule with
fewer nodes to 1e-11. Ten digits are stored. How to run: README.md.
"""

import json
from pathlib import Path

import numpy as np
import scipy
from scipy.integrate import simpson
from scipy.optimize import brentq
from scipy.special import betainc, roots_legendre
from scipy.stats import betabinom

# Rat tumours, 70 earlier groups and the last one: Tarone 1982, as table 5.1 of
# Bayesian Data Analysis gives them. Typed from a public copy of the book's data
# file (the repository pymc-devs/pymc-resources), in its order; y then n.
RATS = """
0 20  0 20  0 20  0 20  0 20  0 20  0 20  0 19  0 19  0 19  0 19  0 18  0 18  0 17
1 20  1 20  1 20  1 20  1 19  1 19  1 18  1 18  3 27  2 25  2 24  2 23  2 20  2 20
2 20  2 20  2 20  2 20  1 10  5 49  2 19  5 46  2 17  7 49  7 47  3 20  3 20  2 13
9 48  10 50  4 20  4 20  4 20  4 20  4 20  4 20  4 20  10 48  4 19  4 19  4 19
5 22  11 46  12 49  5 20  5 20  6 23  5 19  6 22  6 20  6 20  6 20  16 52  15 46
15 47  9 24  4 14
"""

# Groups that get an interval: 0 of 20, 1 of 10, 7 of 49, 16 of 52, 4 of 14.
RAT_INTERVALS = [0, 32, 37, 66, 70]


def rats():
    """The 71 groups, checked against what the book says of them."""
    numbers = [int(x) for x in RATS.split()]
    groups = list(zip(numbers[::2], numbers[1::2]))
    assert len(groups) == 71 and groups[70] == (4, 14)
    rate = np.array([y / n for y, n in groups[:70]])
    mean, var = rate.mean(), rate.var(ddof=1)
    size = mean * (1 - mean) / var - 1
    alpha, beta = mean * size, (1 - mean) * size
    assert round(alpha, 1) == 1.4 and round(beta, 1) == 8.6, (alpha, beta)
    assert groups[0] == (0, 20) and groups[32] == (1, 10) and groups[37] == (7, 49)
    assert groups[66] == (16, 52)
    return groups


def log_likelihood(groups, a, b):
    """log P(y | a, b) without the binomial coefficients.

    Sums of logarithms of a, a+1, ...: they keep the digits that differences of
    large log-gammas lose.
    """
    ups = [sum(1 for y, _ in groups if y > i) for i in range(max(y for y, _ in groups))]
    downs = [sum(1 for y, n in groups if n - y > i) for i in range(max(n - y for y, n in groups))]
    sizes = [sum(1 for _, n in groups if n > i) for i in range(max(n for _, n in groups))]
    out = np.zeros_like(a)
    for x, counts, sign in ((a, ups, 1), (b, downs, 1), (a + b, sizes, -1)):
        for i, count in enumerate(counts):
            out += sign * count * np.log(x + i)
    return out


def check_likelihood(groups):
    """The sums above against scipy's beta-binomial: they differ by a constant."""
    a = np.array([0.01, 0.5, 2.4, 14.0, 300.0])
    b = np.array([0.7, 0.02, 14.3, 3.0, 4000.0])
    scipys = sum(betabinom.logpmf(y, n, a, b) for y, n in groups)
    gap = log_likelihood(groups, a, b) - scipys
    assert np.ptp(gap) < 1e-8, gap


def gauss(low, high, n):
    nodes, weights = roots_legendre(n)
    return low + (high - low) * (nodes + 1) / 2, weights * (high - low) / 2


def equal(low, high, n):
    """Equal steps with Simpson's weights (scipy gives them through unit vectors)."""
    x = np.linspace(low, high, n)
    return x, simpson(np.eye(n), x=x, axis=1)


def log_ratio_grid(rule, x_range, z_range, n):
    """x = log(a/b), z = log(a+b); da db = a b dx dz."""
    x, wx = rule(*x_range, n)
    z, wz = rule(*z_range, n)
    x, z = np.meshgrid(x, z, indexing="ij")
    size = np.exp(z)
    a, b = size / (1 + np.exp(-x)), size / (1 + np.exp(x))
    log_prior = np.log(a) + np.log(b) - 2.5 * z
    return a.ravel(), b.ravel(), log_prior.ravel(), np.outer(wx, wz).ravel()


def mean_size_grid(rule, size_range, n):
    """m = a/(a+b) in (0, 1), size s = a+b; da db = s dm ds = s^2 dm d(log s)."""
    # Simpson touches 0 and 1, where the likelihood has a limit; stay just inside.
    m, wm = rule(0, 1, n)
    m = np.clip(m, 1e-300, 1 - 1e-16)
    z, wz = rule(np.log(size_range[0]), np.log(size_range[1]), n)
    m, z = np.meshgrid(m, z, indexing="ij")
    size = np.exp(z)
    log_prior = 2 * z - 2.5 * z
    return (m * size).ravel(), ((1 - m) * size).ravel(), log_prior.ravel(), np.outer(wm, wz).ravel()


def posterior(groups, grid):
    """Points and weights that sum to 1."""
    a, b, log_prior, area = grid
    log_p = log_prior + log_likelihood(groups, a, b)
    w = np.exp(log_p - log_p.max()) * area
    w /= w.sum()
    # Points of no weight only cost time.
    keep = np.abs(w) > 1e-22
    return a[keep], b[keep], w[keep]


def summary(groups, grid, intervals):
    a, b, w = posterior(groups, grid)
    means = [float(w @ ((a + y) / (a + b + n))) for y, n in groups]
    rows = []
    for j in intervals:
        y, n = groups[j]
        ends = [
            brentq(lambda t: float(w @ betainc(a + y, b + n - y, t)) - q, 1e-12, 1 - 1e-12, xtol=1e-13)
            for q in (0.025, 0.975)
        ]
        rows.append([j, *ends])
    return float(w @ a), float(w @ b), means, rows


def r10(x):
    return float(format(x, ".10g"))


worst = 0.0


def entry(name, about, groups, make, grid, intervals, fine, coarse):
    """One data set on one range; `fine` Gauss nodes against `coarse` Simpson steps."""
    global worst
    check_likelihood(groups)
    alpha, beta, means, rows = summary(groups, make(gauss, fine), intervals)
    alpha2, beta2, means2, rows2 = summary(groups, make(equal, coarse), intervals)
    flat = lambda al, be, me, ro: np.array([al, be, *me, *(x for r in ro for x in r[1:])])
    one, two = flat(alpha, beta, means, rows), flat(alpha2, beta2, means2, rows2)
    gap = float(np.max(np.abs(one - two) / one))
    worst = max(worst, gap)
    print(f"{name}: E(a) {alpha:.6f}, E(b) {beta:.6f}, two rules differ by {gap:.1g} at most")
    assert gap < 1e-7, (name, gap)
    # Fewer Gauss nodes must already give the stored digits.
    alpha3, beta3, means3, _ = summary(groups, make(gauss, fine * 2 // 3), [])
    less = flat(alpha3, beta3, means3, []) / flat(alpha, beta, means, []) - 1
    assert np.max(np.abs(less)) < 1e-11, name
    return {
        "name": name,
        "about": about,
        "groups": [list(g) for g in groups],
        "grid": f"{grid}; {fine} x {fine} Gauss-Legendre nodes",
        "alpha": r10(alpha),
        "beta": r10(beta),
        "means": [r10(x) for x in means],
        "intervals": [[j, r10(lo), r10(hi)] for j, lo, hi in rows],
    }


def main():
    data = rats()
    source = "71 groups of rats, tumours of animals (Tarone 1982; Bayesian Data Analysis, table 5.1)"
    out = []
    for name, x_range, z_range in (
        ("rats", (-2.3, -1.3), (1.0, 5.0)),
        ("rats, wider", (-3.5, -0.5), (-1.0, 7.0)),
    ):
        out.append(
            entry(
                name, source, data,
                lambda rule, n, x=x_range, z=z_range: log_ratio_grid(rule, x, z, n),
                f"log(a/b) in [{x_range[0]}, {x_range[1]}], log(a+b) in [{z_range[0]}, {z_range[1]}]",
                RAT_INTERVALS, 160, 321,
            )
        )  # fmt: skip
    # The book prints 2.4 and 14.3 (from memory).
    assert round(out[0]["alpha"], 1) == 2.4 and round(out[0]["beta"], 1) == 14.3
    text = "a/(a+b) in (0, 1), a+b in [1, 10000] with equal steps of its logarithm"
    by_mean = lambda rule, n: mean_size_grid(rule, (1.0, 10000.0), n)
    out.append(entry("rats, mean and size", source, data, by_mean, text, RAT_INTERVALS, 200, 401))
    for name, groups in (
        ("three unlike groups", [(10, 20), (4, 20), (1, 12)]),
        ("two small groups", [(3, 3), (1, 6)]),
        ("four groups, one without data", [(2, 15), (0, 4), (7, 30), (0, 0)]),
    ):
        out.append(
            entry(name, "Invented.", groups, by_mean, text, range(len(groups)), 200, 801)
        )
    made_by = json.dumps(f"pooling.py, scipy {scipy.__version__}, numpy {np.__version__}")
    sets = ",\n".join(json.dumps(x) for x in out)
    Path(__file__).with_name("pooling.json").write_text(
        f'{{"made_by": {made_by}, "sets": [\n{sets}\n]}}\n', encoding="utf-8"
    )
    print(f"{len(out)} sets; largest relative gap between the two rules {worst:.1g}")


if __name__ == "__main__":
    main()
