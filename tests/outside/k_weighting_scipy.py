#!/usr/bin/env python3
"""The values of tests/outside/data/k_weighting.csv: what a sine of -20 dBFS in one channel reads at several frequencies.

    pip install scipy
    python3 k_weighting_scipy.py > data/k_weighting.csv

The two filters of ITU-R BS.1770-4, annex 1, tables 1 and 2, with the coefficients that it gives for 48 kHz (seen in several
copies of these tables, which agree); scipy gives their gain at a frequency. A sine of amplitude a has the power a²/2; loudness is -0.691 + 10 log10 of the weighted
power. At 997 Hz the standard itself says what comes out: a sine of 0 dBFS in one channel reads -3.01 LKFS.
"""

import sys

import numpy as np
import scipy
from scipy import signal

# Stage 1: the head as a sphere; stage 2: the revised low-frequency B curve.
STAGES = [
    ([1.53512485958697, -2.69169618940638, 1.19839281085285], [1.0, -1.69065929318241, 0.73248077421585]),
    ([1.0, -2.0, 1.0], [1.0, -1.99004745483398, 0.99007225036621]),
]

print("hz,lufs")
for hz in [25, 50, 100, 200, 400, 997, 1500, 2000, 3000, 5000, 8000, 12000, 16000, 20000]:
    gain = 1.0
    for b, a in STAGES:
        gain *= abs(signal.freqz(b, a, worN=[hz], fs=48000)[1][0])
    print(f"{hz},{-0.691 + 10 * np.log10(gain**2 * 0.1**2 / 2):.4f}")
print(f"scipy {scipy.__version__}, numpy {np.__version__}", file=sys.stderr)
