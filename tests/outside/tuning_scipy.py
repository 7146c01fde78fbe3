"""Values for tuning.rs by scipy and music21, another way than the program goes. Run by hand; prints data/tuning_scipy.csv.

pip install scipy music21; python tuning_scipy.py > data/tuning_scipy.csv
"""
import numpy as np, scipy, music21
from numpy.polynomial import legendre as L
from scipy import linalg, optimize, special

print("what,a,b,value,by")
by = f"scipy {scipy.__version__}"
for n, low in enumerate([4.0, 7.0, 10.0, 13.5, 17.0], 1):
    x = optimize.brentq(lambda x: np.cosh(x) * np.cos(x) - 1, low, low + 1.5, xtol=1e-14)
    print(f"root,{n},,{x:.15g},{by} optimize.brentq")


def ritz(h, nu, terms=24, kappa=5 / 6):
    """Timoshenko's bar of length 1, both ends free, by Ritz with Legendre polynomials: omega^2 rho A L^4 / E I."""
    x, w = L.leggauss(64)
    x, w = x / 2, w / 2
    basis = [L.Legendre.basis(k)(2 * x) for k in range(terms)]
    slope = [2 * L.Legendre.basis(k).deriv()(2 * x) for k in range(terms)]
    s2 = 12 / h**2
    g = kappa / (2 * (1 + nu)) * s2
    inner = lambda f, g: np.array([[np.sum(w * a * b) for b in g] for a in f])
    ww, wp, pp = inner(slope, slope), inner(slope, basis), inner(basis, basis)
    stiff = np.block([[g * ww, -g * wp], [-g * wp.T, ww * 0 + inner(slope, slope) + g * pp]])
    mass = np.block([[pp, pp * 0], [pp * 0, pp / s2]])
    return np.sort(np.abs(linalg.eigh(stiff, mass, eigvals_only=True)))[2:]


for h in [0.02, 0.05, 0.1, 0.15, 0.2]:
    own = np.sqrt(ritz(h, 0.33))
    for n in [2, 3]:
        print(f"thick ratio,{h},{n},{own[n - 1] / own[0]:.10g},{by} linalg.eigh Ritz")
    thin = optimize.brentq(lambda x: np.cosh(x) * np.cos(x) - 1, 4, 5.5, xtol=1e-14) ** 2
    print(f"thick cents,{h},1,{1200 * np.log2(own[0] / thin):.10g},{by} linalg.eigh Ritz")
zeros = [special.jn_zeros(m, 1)[0] for m in range(1, 5)]
for m in range(4):
    print(f"membrane,{m + 1},,{zeros[m] / zeros[0]:.12g},{by} special.jn_zeros")
shape = lambda u: np.cos(4.730040744862704 * u) / np.cos(2.365020372431352) + np.cosh(4.730040744862704 * u) / np.cosh(2.365020372431352)
print(f"node,,,{0.5 - optimize.brentq(shape, 0, 0.5, xtol=1e-15):.12g},{by} optimize.brentq")
by = f"music21 {music21.__version__}"
for hz in [123.0, 262.5, 500.0, 869.5 / 2, 777.1 / 2, 679.0 / 2, 505.4 / 2, 1051.25]:
    pitch = music21.pitch.Pitch()
    pitch.frequency = hz
    cents = (pitch.ps - round(pitch.ps)) * 100
    print(f"nearest,{hz},{round(pitch.ps)},{cents:.8g},{by} Pitch.frequency")
for one, other in [("A4", "A5"), ("C4", "E4"), ("F#3", "B-5")]:
    ratio = music21.pitch.Pitch(other).frequency / music21.pitch.Pitch(one).frequency
    print(f"interval,{music21.pitch.Pitch(one).frequency:.12g},{music21.pitch.Pitch(other).frequency:.12g},"
          f"{music21.interval.Interval(music21.pitch.Pitch(one), music21.pitch.Pitch(other)).cents:.10g},{by} Interval.cents")
