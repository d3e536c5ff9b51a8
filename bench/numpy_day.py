"""Core work of a day with numpy and scipy alone: read, fill gaps, filter, 12 frames, 12 joints, 4 angular velocities, extremes.

The yardstick of `npm run bench -- day`: plain array code as one writes it for a study, one trial after the other.
    python3 bench/numpy_day.py FOLDER      prints trials, seconds and trials per second as one JSON object
Reads Intel float C3D files with one block of samples; the first 60 points count.
"""
import json
import sys
import time
from pathlib import Path

import numpy as np
from scipy.interpolate import CubicSpline
from scipy.signal import butter, filtfilt

POINTS = 60
CUTOFF_HZ = 12.0


def read(path):
    """Points (frames, points, 3) in metres with NaN where missing, and the rate."""
    data = np.fromfile(path, dtype=np.uint8)
    words = data[:512].view("<i2")
    points, analog, first, last = words[1], words[2], words[3], words[4]
    start = (int(words[8]) - 1) * 512
    rate = float(data[20:24].view("<f4")[0])
    frames = int(last) - int(first) + 1
    row = 4 * int(points) + int(analog)
    table = np.frombuffer(data[start : start + 4 * row * frames].tobytes(), dtype="<f4").reshape(frames, row)
    block = table[:, : 4 * int(points)].reshape(frames, int(points), 4)[:, :POINTS]
    out = block[:, :, :3].astype(np.float64) / 1000.0
    out[block[:, :, 3] < 0] = np.nan
    return out, rate


def fill(points):
    frames = np.arange(len(points))
    for marker in range(points.shape[1]):
        seen = np.isfinite(points[:, marker, 0])
        if seen.all() or seen.sum() < 4:
            continue
        points[~seen, marker] = CubicSpline(frames[seen], points[seen, marker])(frames[~seen])
    return np.nan_to_num(points)


def smooth(points, rate):
    b, a = butter(2, CUTOFF_HZ / (rate / 2) / 0.802)
    return filtfilt(b, a, points, axis=0)


def unit(v):
    return v / np.maximum(np.linalg.norm(v, axis=-1, keepdims=True), 1e-12)


def frame(a, b, c):
    """Rotation matrices (frames, 3, 3), columns are the axes."""
    x = unit(b - a)
    z = unit(np.cross(x, c - a))
    return np.stack([x, np.cross(z, x), z], axis=-1)


def angles(R):
    """Intrinsic Z-X-Y."""
    x = np.arcsin(np.clip(R[:, 2, 1], -1, 1))
    return np.stack([np.arctan2(-R[:, 0, 1], R[:, 1, 1]), x, np.arctan2(-R[:, 2, 0], R[:, 2, 2])], axis=-1)


def velocity(R, rate):
    W = np.gradient(R, 1 / rate, axis=0) @ np.swapaxes(R, 1, 2)
    return np.stack([W[:, 2, 1], W[:, 0, 2], W[:, 1, 0]], axis=-1)


def trial(path):
    points, rate = read(path)
    points = smooth(fill(points), rate)
    frames = [frame(points[:, i], points[:, i + 1], points[:, i + 2]) for i in range(0, 36, 3)]
    joints = [angles(np.swapaxes(frames[i], 1, 2) @ frames[(i + 1) % 12]) for i in range(12)]
    speeds = [np.linalg.norm(velocity(frames[i], rate), axis=1) for i in range(4)]
    return [joint.max(axis=0) - joint.min(axis=0) for joint in joints] + [speed.max() for speed in speeds]


def main():
    files = sorted(Path(sys.argv[1]).rglob("*.c3d"))
    trial(files[0])
    start = time.perf_counter()
    for path in files:
        trial(path)
    seconds = time.perf_counter() - start
    print(json.dumps({"trials": len(files), "seconds": seconds, "per_second": len(files) / seconds}))


main()
