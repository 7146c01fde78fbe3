#!/usr/bin/env python3
"""The values of tests/outside/data/recordings.csv: real recordings, looked at by librosa and scipy.

    pip install scipy librosa
    apt-get download freepats sonic-pi-samples; for each: dpkg-deb -x PACKAGE FOLDER
    python3 recordings_librosa.py FOLDER > data/recordings.csv

The recordings are those of the packages `freepats` and `sonic-pi-samples` of the Debian archive, which are never copied into the tree.
Of every recording: where it is taken to begin (samples), the frequency of its strongest partial by librosa's reassigned spectrogram,
spectral centroids by librosa, each spectrum weighed by its energy, and T20 of ISO 3382-1 by backward integration and scipy's regression.
An empty figure: the recording is too short for it, or falls too little.
"""

import pathlib
import struct
import sys

import librosa
import numpy as np
import scipy
from scipy import stats

PATCHES = ["009_Glockenspiel", "013_Xylophone"]
FILES = [
    "drum_tom_hi_hard", "drum_tom_lo_hard", "drum_tom_mid_hard", "drum_tom_mid_soft", "drum_cowbell", "drum_snare_hard",
    "drum_cymbal_hard", "drum_bass_hard", "tabla_na", "tabla_na_o", "tabla_tun1", "tabla_tun3", "tabla_te_ne", "tabla_ghe5",
    "perc_bell",
]  # fmt: skip


def patch(path):
    """The 16-bit samples of a patch of one layer in the Gravis format of the 1990s."""
    data = path.read_bytes()
    at = 129 + 63 + 47
    for number in range(data[129 + 63 + 6]):
        head = data[at : at + 96]
        length = struct.unpack_from("<I", head, 8)[0]
        raw = np.frombuffer(data[at + 96 : at + 96 + length], "<u2")
        raw = raw if head[55] & 2 == 0 else raw ^ 0x8000
        if head[55] & 1:
            yield number, struct.unpack_from("<H", head, 20)[0], raw.astype(np.uint16).view(np.int16) / 32768
        at += 96 + length


def begins(sound):
    """The first sample that reaches a twentieth of the greatest."""
    return int(np.argmax(np.abs(sound) >= 0.05 * np.abs(sound).max()))


def strongest(strike, rate):
    """The partial with the most energy from 20 ms on: the reassigned frequency at its bin, by the median over time, by power."""
    length = min(int(0.35 * rate), len(strike) // 3) & ~1
    part = strike[int(0.02 * rate) :][: int(1.2 * rate)]
    if length < 256 or len(part) < 2 * length:
        return None
    hz, _, size = librosa.reassigned_spectrogram(
        part, sr=rate, n_fft=length, hop_length=length // 8, center=False, window="blackmanharris", fill_nan=True
    )
    power = size**2
    # Under a drum's lowest partial lies the room.
    power[: int(np.ceil(45 * length / rate))] = 0
    top = int(np.argmax(power.sum(1)))
    bins = slice(max(top - 1, 0), top + 2)
    there, weight = hz[bins].ravel(), power[bins].ravel()
    good = np.isfinite(there) & (weight > weight.max() * 1e-3)
    return np.average(there[good], weights=weight[good])


def centroids(strike, rate):
    length = int(round(rate * 0.0427)) & ~1
    hop = int(round(rate * 0.01))
    spectra = np.abs(librosa.stft(strike, n_fft=length, hop_length=hop, center=False, window="hann"))
    centre = librosa.feature.spectral_centroid(S=spectra, sr=rate)[0]
    energy = (spectra**2).sum(0)
    time = np.arange(len(energy)) * hop / rate

    def mean(first, last):
        there = (time >= first) & (time < last)
        return (centre[there] * energy[there]).sum() / energy[there].sum() if time[-1] >= last - 0.01 else None

    return mean(0, 0.5), mean(0, 0.05)


def ring(strike, rate):
    left = 10 * np.log10(np.maximum(np.cumsum(strike[::-1] ** 2)[::-1], 1e-30))
    left -= left[0]
    # What is cut off at its end has no integral to stand on: the last 35 dB are left alone.
    ends = 10 * np.log10(np.mean(strike[-int(0.02 * rate) :] ** 2) / np.mean(strike[: int(0.02 * rate)] ** 2) + 1e-12)
    if ends > -45:
        return None
    first, last = np.argmax(left <= -5), np.argmax(left <= -25)
    return -60 / stats.linregress(np.arange(first, last) / rate, left[first:last]).slope


def main():
    folder = pathlib.Path(sys.argv[1]) / "usr/share"
    all = []
    for name in PATCHES:
        for number, rate, sound in patch(folder / "midi/freepats/Tone_000" / f"{name}.pat"):
            all.append((f"{name}.pat", number, rate, sound))
    for name in FILES:
        sound, rate = librosa.load(folder / "sonic-pi/samples" / f"{name}.flac", sr=None, mono=True)
        all.append((f"{name}.flac", 0, rate, sound.astype(float)))
    print("file,sample,from,strongest_hz,centroid_hz,centroid_first_hz,t20_s")
    for file, number, rate, sound in all:
        start = begins(sound)
        strike = sound[start:]
        figures = [strongest(strike, rate), *centroids(strike, rate), ring(strike, rate)]
        said = ["" if one is None or not np.isfinite(one) else f"{one:.4f}" for one in figures]
        print(f"{file},{number},{start}," + ",".join(said))
    print(f"scipy {scipy.__version__}, librosa {librosa.__version__}, numpy {np.__version__}", file=sys.stderr)


main()
