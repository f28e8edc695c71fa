"""Wear profiles of round laps on tangential strokes, in vectorised numpy.

The other side of BenchmarkLibraryInNumpy, which runs it. It reckons what package
wear reckons, the way one would in numpy: for each setting arrays over radius,
phase of the stroke and place along the arc, with exact limits of the arc, Gauss-
Legendre rules, and the pressure of a rigid lap balanced at each phase.

Two ways are there. 'plain' takes the same phases for every radius. 'careful'
takes, for each radius, phases between those at which the lap's edge reaches and
leaves it, gathered at the ends, which needs far fewer of them.

    python3 numpy_wear.py plain|careful PHASES PLACES < settings

Input: a line 'rim radii', then a line 'lap-radius load at stroke-length perTurn'
for each setting, in metres and newtons. Output: a line with the seconds taken,
then a line of depths for each setting.

Needs numpy (Debian: python3-numpy).
"""
import sys
import time

import numpy as np


def moments(rho, b, rim, lo):
    """Area and moments about the lap's middle of lap ∩ glass beyond ξ = lo."""
    x, w = np.polynomial.legendre.leggauss(24)
    # Gather places at both ends, where the chords begin like square roots.
    t = (1 + x) / 2
    g, dg = t * t * (3 - 2 * t), 6 * t * (1 - t) * w / 2
    hi = np.minimum(b, rim - rho)
    cross = np.clip((rim**2 - rho**2 - b**2) / (2 * rho), lo, hi)
    m = np.zeros((3, len(rho)))
    for a, c in ((lo, cross), (cross, hi)):
        xi = a[:, None] + (c - a)[:, None] * g
        lap = b * b - xi * xi
        glass = rim * rim - (xi + rho[:, None]) ** 2
        width = 2 * np.sqrt(np.maximum(0, np.minimum(lap, glass))) * dg * (c - a)[:, None]
        m += np.stack([(width * xi**k).sum(1) for k in range(3)])
    return m, hi


def pressure(rho, b, load, rim):
    """p = p0 + g·ξ at each radius rho of the lap's middle, contact being lost
    where it would pull."""
    rho = np.asarray(rho, float)
    lo = np.full(len(rho), -b)
    m, hi = moments(rho, b, rim, lo)
    det = m[0] * m[2] - m[1] ** 2
    p0, g = load * m[2] / det, -load * m[1] / det
    pulls = p0 + g * lo < 0
    if pulls.any():
        r, end = rho[pulls], lo[pulls]
        for _ in range(30):
            m, _ = moments(r, b, rim, end)
            step = (m[2] - end * m[1]) / m[1]
            end = end + step
            if np.abs(step).max() < 1e-12 * b:
                break
        m, _ = moments(r, b, rim, end)
        g[pulls] = load / (m[1] - end * m[0])
        p0[pulls] = -g[pulls] * end
    return p0, g


def profile(r, rim, b, load, at, length, q, way, phases, places):
    s = length / 2
    far = np.hypot(at, s)
    x, w = np.polynomial.legendre.leggauss(phases)
    t, w = (1 + x) / 2, w / 2
    if way == "careful":
        g, w = t * t * (3 - 2 * t), w * 6 * t * (1 - t)
        reach = lambda rho: np.arcsin(np.sqrt(np.clip((rho**2 - at**2) / s**2, 0, 1)))
        first, last = reach(np.maximum(r - b, at)), reach(np.minimum(r + b, far))
        # A circle that is met all around at first has a third place to stop at.
        whole = np.where(r < b, reach(np.maximum(b - r, at)), first)
        parts = [(first, whole), (whole, last)] if (whole > first).any() else [(whole, last)]
        tau = np.concatenate([a[:, None] + (c - a)[:, None] * g for a, c in parts], 1)
        w = np.concatenate([(c - a)[:, None] * w for a, c in parts], 1)
    else:
        tau = np.broadcast_to(t * np.pi / 2, (len(r), phases))
        w = np.broadcast_to(w * np.pi / 2, tau.shape)
    y, v = s * np.sin(tau), q * s * np.cos(tau)
    rho = np.hypot(at, y)
    over = far + b > rim
    if over:
        # The balance over the stroke, carried to the phases by a spline of third order
        # or found at them where they are the same for every radius.
        if way == "careful":
            table = np.linspace(at, far, 33)
            p0, g = pressure(table, b, load, rim)
            p0, g = cubic(table, p0, rho), cubic(table, g, rho)
        else:
            p0, g = pressure(rho[0], b, load, rim)
            p0, g = np.broadcast_to(p0, rho.shape), np.broadcast_to(g, rho.shape)
    cos = (r[:, None] ** 2 + rho**2 - b * b) / (2 * r[:, None] * rho)
    end = np.arccos(np.clip(cos, -1, 1))
    if over:
        # Only as far as the lap presses.
        with np.errstate(divide="ignore", invalid="ignore"):
            edge = np.where(g > 0, (rho - p0 / g) / r[:, None], -1)
        end = np.minimum(end, np.arccos(np.clip(edge, -1, 1)))
    z, u = np.polynomial.legendre.leggauss(places)
    delta = end[:, :, None] * z
    phi = np.arctan2(y, at)[:, :, None] + delta
    a = (r[:, None] ** 2 + v * v)[:, :, None]
    d = (2 * r[:, None] * v)[:, :, None] * np.cos(phi)
    speed = np.sqrt(np.maximum(a - d, 0)) + np.sqrt(np.maximum(a + d, 0))
    if over:
        speed *= p0[:, :, None] + g[:, :, None] * (r[:, None, None] * np.cos(delta) - rho[:, :, None])
        scale = 1.0
    else:
        scale = load / (np.pi * b * b)
    return scale * ((speed @ u) * end * w).sum(1) / 2 / (np.pi / 2)


def cubic(x, y, at):
    """Local cubic interpolation on an even grid."""
    n = len(x)
    h = x[1] - x[0]
    i = np.clip(((at - x[0]) / h).astype(int), 1, n - 3)
    t = (at - x[i]) / h
    a, b, c, d = y[i - 1], y[i], y[i + 1], y[i + 2]
    return b + t * ((c - a) / 2 + t * (a - 2.5 * b + 2 * c - d / 2 + t * (1.5 * (b - c) + (d - a) / 2)))


def main():
    way, phases, places = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    lines = sys.stdin.read().split("\n")
    rim, n = lines[0].split()
    rim, n = float(rim), int(n)
    settings = [tuple(map(float, line.split())) for line in lines[1:] if line]
    r = rim * (np.arange(n) + 0.5) / n
    profile(r, rim, *settings[0], way, phases, places)  # warm up
    start = time.perf_counter()
    out = [profile(r, rim, *s, way, phases, places) for s in settings]
    print(repr(time.perf_counter() - start))
    for h in out:
        print(*map(repr, map(float, h)))


main()
