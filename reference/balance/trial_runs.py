"""Random sets of trial runs, solved in real numbers with NumPy's lstsq. See SOURCE.md.

The sets are drawn from a splitmix64 sequence in exact arithmetic, so that the test draws the same
ones and only the answers have to be kept.
"""

import numpy as np

SETS = 1000
# Every so many sets the covariance of the weights, by differences: it takes a solution per reading.
COVARIANCE_EVERY = 20
# Share of a reading's uncertainty by which it is moved for a difference.
STEP = 1e-3
MASK = (1 << 64) - 1


class Draws:
    def __init__(self, state):
        self.state = state

    def uniform(self):
        self.state = (self.state + 0x9E3779B97F4A7C15) & MASK
        z = self.state
        z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & MASK
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & MASK
        return (((z ^ (z >> 31)) >> 11) + 0.5) / (1 << 53)

    def below(self, count):
        return int(count * self.uniform())

    def arrow(self):
        re = 2.0 * self.uniform() - 1.0
        return complex(re, 2.0 * self.uniform() - 1.0)

    def weight(self):
        """Of a length between a half and two, in any direction."""
        re = 0.5 + self.uniform()
        im = 2.0 * self.uniform() - 1.0
        quarter = self.below(4)
        for _ in range(quarter):
            re, im = -im, re
        return complex(re, im)


def draw(draws):
    planes, sensors, speeds = 1 + draws.below(3), 1 + draws.below(5), 1 + draws.below(3)
    planes = min(planes, sensors * speeds)
    beyond = draws.below(4)
    left_in, never_without = draws.uniform() < 0.5, draws.uniform() < 0.3
    noise = (0.0, 0.01, 0.05)[draws.below(3)]
    uncertainty = [0.01 * (1.0 + 9.0 * draws.uniform()) for _ in range(sensors)]
    runs = []
    for speed in range(speeds):
        first = [5.0 * draws.arrow() for _ in range(sensors)]
        coefficients = [[draws.arrow() for _ in range(planes)] for _ in range(sensors)]
        before = [draws.weight() if never_without else 0j for _ in range(planes)]
        trials = [before]
        for plane in range(planes):
            trial = list(trials[-1] if left_in else before)
            trial[plane] += draws.weight()
            trials.append(trial)
        for _ in range(beyond):
            trials.append([draws.weight() for _ in range(planes)])
        for trial in trials:
            readings = []
            for v, row in zip(first, coefficients):
                for a, w in zip(row, trial):
                    v += a * w
                readings.append(v + noise * draws.arrow())
            runs.append((speed, trial, readings))
    return planes, uncertainty, runs


def real(matrix):
    """A complex matrix as one of real numbers that does the same to (re, im)."""
    return np.block([[matrix.real, -matrix.imag], [matrix.imag, matrix.real]])


def least_squares(matrix, right):
    solution = np.linalg.lstsq(real(matrix), np.concatenate([right.real, right.imag]), rcond=None)[0]
    half = len(solution) // 2
    return solution[:half] + 1j * solution[half:]


def solve(planes, uncertainty, speed, trial, read):
    """Weights to add, what is left, chi square and its degrees of freedom."""
    rows, first, chi_square, freedom = [], [], 0.0, 0
    for s in range(speed[-1] + 1):
        here = speed == s
        design = np.column_stack([np.ones(np.count_nonzero(here)), trial[here]])
        for j, u in enumerate(uncertainty):
            unknowns = least_squares(design, read[here, j])
            beyond = len(design) - planes - 1
            if beyond:
                chi_square += np.sum(np.abs((read[here, j] - design @ unknowns) / u) ** 2)
                freedom += 2 * beyond
            first.append(unknowns[0])
            rows.append(unknowns[1:])
    rows, first = np.array(rows), np.array(first)
    u = np.tile(uncertainty, speed[-1] + 1)
    correction = least_squares(rows / u[:, None], -first / u)
    return correction, first + rows @ correction, chi_square, freedom


def covariance(planes, uncertainty, speed, trial, read):
    """Of the real and imaginary parts of each weight, by moving every reading."""
    total = np.zeros((planes, 2, 2))
    for k in range(len(speed)):
        for j, u in enumerate(uncertainty):
            for way in (1, 1j):
                ends = []
                for sign in (1, -1):
                    moved = read.copy()
                    moved[k, j] += sign * way * STEP * u
                    ends.append(solve(planes, uncertainty, speed, trial, moved)[0])
                slope = (ends[0] - ends[1]) / (2 * STEP)
                parts = np.stack([slope.real, slope.imag], axis=1)
                total += parts[:, :, None] * parts[:, None, :]
    return total


def rows():
    draws = Draws(20)
    for number in range(SETS):
        planes, uncertainty, runs = draw(draws)
        speed = np.array([run[0] for run in runs])
        trial = np.array([run[1] for run in runs])
        read = np.array([run[2] for run in runs])
        inputs = planes, uncertainty, speed, trial, read
        correction, left, chi_square, freedom = solve(*inputs)
        for p, weight in enumerate(correction):
            yield number, "weight", p, f"{weight.real:.11f}", f"{weight.imag:.11f}"
        for m, arrow in enumerate(left):
            yield number, "left", m, f"{arrow.real:.11f}", f"{arrow.imag:.11f}"
        yield number, "chi_square", 0, f"{chi_square:.8f}", freedom
        if number % COVARIANCE_EVERY == 0:
            scatter = max(1.0, chi_square / freedom) if freedom else 1.0
            for p, part in enumerate(covariance(*inputs) * scatter):
                yield number, "variance", p, f"{part[0, 0]:.6e}", f"{part[1, 1]:.6e}"
                yield number, "covariance", p, f"{part[0, 1]:.6e}", f"{np.sqrt(part[0, 0] * part[1, 1]):.6e}"
