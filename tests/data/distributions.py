"""Tails, quantiles and intervals as scipy gives them, for `../statistics_values.rs`.

Run in this folder: python3 distributions.py > distributions.csv
Made with Python 3.11.7 and scipy 1.17.1.
"""

import itertools

from scipy import stats

print("what,first,second,third,expected")


def row(what, first, second, third, expected):
    print(f"{what},{first},{second},{third},{float(expected)!r}")


for df in (1, 2, 6, 7, 11, 40, 240, 2_000, 200_000):
    for below in (0.001, 0.025, 0.05, 0.5, 0.95, 0.975, 0.999):
        row("chi-squared-quantile", below, df, "", stats.chi2.ppf(below, df))
for df, x in itertools.product((1, 2, 6, 11), (0.01, 0.5, 3.2, 13.4, 40.0, 200.0)):
    row("chi-squared-above", x, df, "", stats.chi2.sf(x, df))
for count, mean in ((1, 0.02), (3, 0.4), (6, 0.05), (10, 12.0), (120, 90.0), (1_000, 1_020.0), (250_000, 249_500.0)):
    row("poisson-at-least", count, mean, "", stats.poisson.sf(count - 1, mean))
for count, trials, share in (
    (1, 3, 0.2), (9, 12, 0.16), (14, 18, 0.5), (18, 18, 0.5), (3, 40, 0.05), (60, 120, 1 / 3),
    (560, 1_000, 0.5), (120_400, 240_000, 0.5), (501_000, 1_000_000, 0.5),
):
    row("binomial-at-least", count, trials, share, stats.binom.sf(count - 1, trials, share))
for count, trials in ((0, 10), (1, 10), (5, 10), (9, 12), (14, 120), (120, 120), (700, 90_000)):
    interval = stats.binomtest(count, trials).proportion_ci(0.95, method="exact")
    row("share-lower", count, trials, 0.95, interval.low)
    row("share-upper", count, trials, 0.95, interval.high)
for count, hours in ((1, 400), (2, 800), (3, 8_760), (25, 17_520), (640, 17_520)):
    row("mean-time-lower", count, hours, 0.95, 2 * hours / stats.chi2.ppf(0.975, 2 * count + 2))
    row("mean-time-upper", count, hours, 0.95, 2 * hours / stats.chi2.ppf(0.025, 2 * count))
# Over equal times the exact conditional test is the two-sided binomial test with 1/2.
for before, now in ((0, 4), (1, 9), (4, 14), (14, 4), (60, 61), (300, 380)):
    row("compare-chance", before, now, "", stats.binomtest(now, before + now).pvalue)
