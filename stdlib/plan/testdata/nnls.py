#!/usr/bin/env python3
"""Writes nnls.json: random least squares problems and what scipy.optimize.nnls
makes of them. Debian packages python3-numpy and python3-scipy.

usage: python3 nnls.py > nnls.json
"""
import json

import numpy
import scipy
from scipy.optimize import nnls

rng = numpy.random.default_rng(1974)
problems = []
for rows, columns in [(3, 2), (5, 5), (12, 4), (12, 8), (20, 15), (30, 25), (15, 30), (40, 40)]:
    a = rng.standard_normal((rows, columns))
    if columns % 2:  # like wear: columns that do not differ much
        a = numpy.abs(a) + 1
    y = rng.standard_normal(rows)
    x, norm = nnls(a, y)
    problems.append({"a": a.T.round(6).tolist(), "y": y.round(6).tolist()})
    x, norm = nnls(numpy.array(problems[-1]["a"]).T, numpy.array(problems[-1]["y"]))
    problems[-1] |= {"x": x.tolist(), "norm": norm}
print(json.dumps({"scipy": scipy.__version__, "problems": problems}))
