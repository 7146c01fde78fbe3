#!/usr/bin/env python3
"""Makes the files of this folder: one strike, worked out here, in every kind of audio file that is read.

    apt-get install ffmpeg sox lame vorbis-tools flac
    python3 make.py

The strike is 16-bit, one channel, 16,000 samples a second: a tenth of a second of silence, then 880 Hz that fall by 60 dB in 0.4 s
with 2425 Hz 10 dB under them that fall in 0.15 s, for 0.5 s. The files are committed: another version of a tool may write other
bytes of the same sound. Written by ffmpeg 5.1.9, sox 14.4.2, lame 3.100, oggenc of vorbis-tools 1.4.2 and flac 1.4.2.
"""

import math
import pathlib
import struct
import subprocess
import wave

RATE, BEFORE, AFTER = 16_000, 1_600, 8_000
HERE = pathlib.Path(__file__).parent


def strike():
    chance = 1
    for at in range(-BEFORE, AFTER):
        chance = (1_664_525 * chance + 1_013_904_223) % 2**32
        value = (chance / 2**32 - 0.5) * 2e-4
        if at >= 0:
            time = at / RATE
            for hz, db, t60 in ((880.0, 0.0, 0.4), (2425.0, -10.0, 0.15)):
                fall = 10 ** (db / 20) * math.exp(-math.log(1000) * time / t60)
                value += 0.4 * min(time * 1000, 1) * fall * math.sin(2 * math.pi * hz * time)
        yield round(value * 32_767)


def run(*words):
    subprocess.run([str(word) for word in words], check=True, capture_output=True)


def main():
    plain = HERE / "strike.wav"
    with wave.open(str(plain), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(RATE)
        out.writeframes(b"".join(struct.pack("<h", value) for value in strike()))
    ffmpeg = ("ffmpeg", "-y", "-i", plain, "-map_metadata", "-1", "-fflags", "+bitexact", "-flags", "+bitexact")
    run("sox", plain, HERE / "strike.aiff")
    run("sox", plain, "-e", "floating-point", "-b", "32", HERE / "strike.aifc")
    run("flac", "-f", "-8", "--no-padding", "-o", HERE / "strike.flac", plain)
    run("oggenc", "-q", "8", "-s", "1", "-o", HERE / "strike.ogg", plain)
    run("lame", "-b", "64", plain, HERE / "strike.mp3")
    run(*ffmpeg, "-c:a", "aac", "-b:a", "64k", HERE / "strike.m4a")
    run(*ffmpeg, "-c:a", "alac", HERE / "strike.mp4")
    run(*ffmpeg, "-c:a", "aac", "-b:a", "64k", "-f", "adts", HERE / "strike.aac")
    run(*ffmpeg, "-c:a", "alac", HERE / "strike.caf")


main()
