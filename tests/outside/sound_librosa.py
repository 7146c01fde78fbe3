#!/usr/bin/env python3
"""The values of tests/outside/data/sound.csv: made-up strikes, looked at by scipy and librosa.

    pip install scipy librosa
    python3 sound_librosa.py > data/sound.csv

The strikes are those of tests/outside/sound.rs, sample by sample. The last column but one is left empty for the block,
which has died by then.
"""

import sys

import librosa
import numpy as np
import scipy
from scipy import signal

RATE = 48000
# Hz, dB, seconds for a fall by 60 dB.
STRIKES = {
    "bar": [(220.0, 0, 1.4), (875.6, -12, 0.45), (2134.0, -18, 0.15)],
    "steel": [(1568.0, 0, 3.0), (4249.28, -6, 1.5), (8075.2, -9, 0.6)],
    "skin": [(98.0, 0, 2.2), (147.4, -6, 2.6), (170.7, -10, 1.2), (196.0, -9, 1.8)],
    "block": [(1100.0, 0, 0.09), (1793.0, -3, 0.07), (2761.0, -8, 0.06)],
}


def noise(count, level=2e-5):
    x, out = 1, np.empty(count)
    for i in range(count):
        x = (1664525 * x + 1013904223) % 2**32
        out[i] = (x / 2**32 - 0.5) * level
    return out


def made(partials):
    time = (np.arange(4 * RATE) - 0.5 * RATE) / RATE
    since = np.maximum(time, 0)
    wave = sum(
        10 ** (db / 20) * np.exp(-np.log(1000) * since / t60) * np.sin(2 * np.pi * hz * since) for hz, db, t60 in partials
    )
    return np.where(time >= 0, 0.25 * np.minimum(since * 1000, 1) * wave, 0)


def strongest(strike, long):
    """A Blackman-Harris window, the transform padded to 2^21, a parabola through the logarithm."""
    length = int((1.4 if long else 0.06) * RATE)
    window = signal.windows.blackmanharris(length, sym=False)
    spectrum = np.abs(np.fft.rfft(strike[240 : 240 + length] * window, 2**21))
    top = np.argmax(spectrum)
    left, here, right = np.log(spectrum[top - 1 : top + 2])
    return (top + 0.5 * (left - right) / (left - 2 * here + right)) * RATE / 2**21


def decay(strike, hz, t60, width):
    """Band-pass, Hilbert's envelope, regression over 30 dB."""
    band = signal.butter(2, [hz - width, hz + width], "bandpass", fs=RATE, output="sos")
    level = 20 * np.log10(np.abs(signal.hilbert(signal.sosfilt(band, strike))) + 1e-12)
    first = np.argmax(level[: int(0.3 * RATE)]) + int(0.02 * t60 * RATE)
    last = first + int(0.5 * t60 * RATE)
    return -60 / np.polyfit(np.arange(first, last) / RATE, level[first:last], 1)[0]


def ring(clean, high, low):
    """ISO 3382-1: backward integration, the line by least squares between two levels."""
    left = 10 * np.log10(np.cumsum(clean[::-1] ** 2)[::-1])
    left -= left[0]
    first, last = np.argmax(left <= high), np.argmax(left <= low)
    return -60 / np.polyfit(np.arange(first, last) / RATE, left[first:last], 1)[0]


def main():
    print("strike,pitch_hz,t60_s,t20_s,edt_s,centroid_hz,centroid_first_hz,centroid_after_hz,flatness")
    for name, partials in STRIKES.items():
        clean = made(partials)
        strike = (clean + noise(4 * RATE)).astype(np.float32).astype(float)[RATE // 2 :]
        clean = clean[RATE // 2 :]
        t60 = partials[0][2]
        hz = strongest(strike, t60 > 0.5)
        fall = decay(strike, hz, t60, 12 if name == "skin" else max(30, 8 / t60))
        # Of the strike without its noise, which Backrow takes off.
        spectra = np.abs(librosa.stft(clean, n_fft=2048, hop_length=480, center=False, window="hann"))
        centroid = librosa.feature.spectral_centroid(S=spectra, sr=RATE)[0]
        energy = (spectra**2).sum(0)
        time = np.arange(len(energy)) * 0.01

        def mean(first, last):
            there = (time >= first) & (time < last)
            return (centroid[there] * energy[there]).sum() / energy[there].sum()

        power = (spectra[:, (time >= 0.035) & (time < 0.3)] ** 2).sum(1)
        row = power[int(100 / (RATE / 2048)) : int(10000 / (RATE / 2048))]
        least = power.sum() * 1e-9
        flatness = np.exp(np.log(row + least).mean()) / (row.mean() + least)
        after = "" if name == "block" else f"{mean(0.2, 0.3):.2f}"
        print(
            f"{name},{hz:.5f},{fall:.4f},{ring(clean, -5, -25):.4f},{ring(clean, -0.01, -10):.4f},"
            f"{mean(0, 0.5):.2f},{mean(0, 0.05):.2f},{after},{flatness:.3e}"
        )
    print(f"scipy {scipy.__version__}, librosa {librosa.__version__}, numpy {np.__version__}", file=sys.stderr)


main()
