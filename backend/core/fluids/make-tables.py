#!/usr/bin/env python3
"""Makes the property tables in tables/ from CoolProp 8.0.0 (Bell et al. 2014, doi 10.1021/ie4033999).

    pip install coolprop==8.0.0 numpy && python3 make-tables.py

Every table is a set of uniform cubic B-splines, so each property and its first two derivatives are continuous:

* saturation temperature over ln p, dew and bubble side;
* ln p over temperature, dew and bubble side;
* saturated-liquid enthalpy and density over temperature (bubble side);
* vapour enthalpy, p/rho and entropy over (ln p, u), where u = ln(1 + superheat / SCALE) closes the nodes up near
  saturation, where the surfaces bend most.

Blends go through CoolProp's HEOS mixture model. Its own first guesses fail in places, therefore the envelope is
followed from 273.15 K up and down in steps, each solution being the guess of the next.

Enthalpy and entropy are relative to saturated vapour (dew side) at 273.15 K.
"""

import base64
from pathlib import Path

import CoolProp.CoolProp as CP
import numpy as np
from CoolProp.CoolProp import PyGuessesStructure

from fluid_models import COMPOSITIONS, VERSION, critical_temperature, equation_limit, is_pure, lowest_temperature, state

REFERENCE_K = 273.15
LOWEST_K, HIGHEST_K, BELOW_CRITICAL_K = 198.15, 373.15, 4.0
SATURATION_PIECES = 80
PRESSURE_PIECES, SUPERHEAT_PIECES = 56, 12
LARGEST_SUPERHEAT_K, SUPERHEAT_SCALE_K = 100.0, 5.0
FINE = 8  # envelope points per saturation piece

TABLES = Path(__file__).parent / 'tables'
CP.set_config_bool(CP.DONT_CHECK_PROPERTY_LIMITS, True)


def spline_coefficients(values):
    """Coefficients of the uniform cubic B-spline through `values` (first axis), not-a-knot at both ends."""
    n = len(values)
    matrix = np.zeros((n + 2, n + 2))
    for i in range(n):
        matrix[i, i : i + 3] = [1 / 6, 4 / 6, 1 / 6]
    matrix[n, :5] = matrix[n + 1, -5:] = [1, -4, 6, -4, 1]
    return np.linalg.solve(matrix, np.concatenate([values, np.zeros((2,) + values.shape[1:])]))


def spline_weights(count, low, high, x):
    """Row of weights that the coefficients get at each x."""
    pieces = count - 3
    t = (np.asarray(x) - low) / (high - low) * pieces
    i = np.clip(np.floor(t).astype(int), 0, pieces - 1)
    u = t - i
    weights = np.zeros((len(t), count))
    basis = [(1 - u) ** 3, 3 * u**3 - 6 * u**2 + 4, -3 * u**3 + 3 * u**2 + 3 * u + 1, u**3]
    for k, b in enumerate(basis):
        weights[np.arange(len(t)), i + k] = b / 6
    return weights


def evaluate(coefficients, low, high, x):
    return spline_weights(len(coefficients), low, high, x) @ coefficients


def guesses_from(model):
    guess = PyGuessesStructure()
    guess.T, guess.p = model.T(), model.p()
    guess.rhomolar_liq = model.saturated_liquid_keyed_output(CP.iDmolar)
    guess.rhomolar_vap = model.saturated_vapor_keyed_output(CP.iDmolar)
    guess.x, guess.y = model.mole_fractions_liquid(), model.mole_fractions_vapor()
    return guess


def envelope(name, quality, temperatures):
    """ln p, enthalpy and density of the saturated phase (quality 1: dew, 0: bubble) at rising temperatures."""
    rows = {}

    def record(model, temperature):
        rows[temperature] = (np.log(model.p()), model.hmass(), model.rhomass())

    if is_pure(name):
        model = state(name)
        for temperature in temperatures:
            model.update(CP.QT_INPUTS, quality, temperature)
            record(model, temperature)
    else:
        split = np.searchsorted(temperatures, REFERENCE_K)
        for branch in (temperatures[split:], temperatures[:split][::-1]):
            model = state(name)
            model.update(CP.QT_INPUTS, quality, REFERENCE_K)
            for temperature in branch:
                model.update_with_guesses(CP.QT_INPUTS, quality, temperature, guesses_from(model))
                record(model, temperature)
    result = np.array([rows[t] for t in temperatures])
    if not (np.all(np.isfinite(result)) and np.all(np.diff(result[:, 0]) > 0)):
        raise RuntimeError(f'{name}: the envelope is not monotonic')
    return result


def update_vapour(model, pressure, temperature):
    """Vapour at p and T. Where CoolProp's density search gives up, Newton from the state just solved (its neighbour
    on the grid) finds the density."""
    start = model.rhomolar() if np.isfinite(model.rhomolar()) else None
    try:
        model.update(CP.PT_INPUTS, pressure, temperature)
        return
    except ValueError:
        if start is None:
            raise
    density = start
    for _ in range(100):
        model.update(CP.DmolarT_INPUTS, density, temperature)
        step = (model.p() - pressure) / model.first_partial_deriv(CP.iP, CP.iDmolar, CP.iT)
        if abs(step) < 1e-12 * density:
            return
        density -= np.clip(step, -0.2 * density, 0.2 * density)
    raise RuntimeError(f'no vapour density at {pressure} Pa, {temperature} K')


class Table:
    def __init__(self, name):
        self.name = name
        self.t_low = max(LOWEST_K, np.ceil(lowest_temperature(name)) + 0.15)
        self.t_critical = critical_temperature(name)
        self.t_high = min(HIGHEST_K, np.floor((self.t_critical - BELOW_CRITICAL_K) * 20) / 20)
        self.hottest = min(equation_limit(name), self.t_high + LARGEST_SUPERHEAT_K)
        self.blocks = []
        self.errors = {}

        pieces = SATURATION_PIECES
        fine_t = np.linspace(self.t_low, self.t_high, pieces * FINE + 1)
        self.fine_t = fine_t
        self.dew, self.bubble = envelope(name, 1, fine_t), envelope(name, 0, fine_t)
        origin = envelope(name, 1, np.array([REFERENCE_K]))
        self.h0 = origin[0, 1]
        reference = state(name)
        reference.specify_phase(CP.iphase_gas)
        reference.update(CP.PT_INPUTS, np.exp(origin[0, 0]), REFERENCE_K)
        self.s0 = reference.smass()
        self.h0 = reference.hmass()

        self.log_ranges = {}
        self.saturation = {}
        for side, data in (('dew', self.dew), ('bubble', self.bubble)):
            low, high = data[0, 0], data[-1, 0]
            self.log_ranges[side] = (low, high)
            nodes = np.linspace(low, high, pieces + 1)
            self.saturation[side] = spline_coefficients(self.invert(data[:, 0], nodes))
        self.log_pressure = {s: spline_coefficients(d[::FINE, 0]) for s, d in (('dew', self.dew), ('bubble', self.bubble))}
        self.liquid_h = spline_coefficients(self.bubble[::FINE, 1] - self.h0)
        self.liquid_rho = spline_coefficients(self.bubble[::FINE, 2])

        self.u_high = np.log(1 + LARGEST_SUPERHEAT_K / SUPERHEAT_SCALE_K)
        nodes_p = np.linspace(*self.log_ranges['dew'], PRESSURE_PIECES + 1)
        nodes_u = np.linspace(0, self.u_high, SUPERHEAT_PIECES + 1)
        surface = self.vapour(nodes_p, nodes_u)
        self.surfaces = []
        for k in range(3):
            along_p = spline_coefficients(surface[:, :, k])
            # Single precision, as stored: half the size for 0.03 J/kg.
            self.surfaces.append(spline_coefficients(along_p.T).T.astype('<f4').astype(float))

    def invert(self, log_p, wanted):
        """Temperatures at the given ln p from the finely stepped envelope, by Newton on its own spline."""
        coefficients = spline_coefficients(log_p)
        t = np.interp(wanted, log_p, self.fine_t)
        for _ in range(30):
            f = evaluate(coefficients, self.t_low, self.t_high, t) - wanted
            d = 1e-3
            slope = (evaluate(coefficients, self.t_low, self.t_high, np.minimum(t + d, self.t_high))
                     - evaluate(coefficients, self.t_low, self.t_high, np.maximum(t - d, self.t_low))) / (
                np.minimum(t + d, self.t_high) - np.maximum(t - d, self.t_low))
            step = f / slope
            t = np.clip(t - step, self.t_low, self.t_high)
            if np.max(np.abs(step)) < 1e-10:
                return t
        if np.max(np.abs(step)) > 1e-8:
            raise RuntimeError(f'{self.name}: inversion did not converge')
        return t

    def vapour(self, log_pressures, scaled):
        """Enthalpy, p/rho and entropy on the grid of ln p and scaled superheat."""
        model = state(self.name)
        model.specify_phase(CP.iphase_gas)
        dew = self.invert(self.dew[:, 0], np.asarray(log_pressures))
        out = np.empty((len(log_pressures), len(scaled), 3))
        for i, log_p in enumerate(log_pressures):
            for j, u in enumerate(scaled):
                pressure = np.exp(log_p)
                update_vapour(model, pressure, dew[i] + SUPERHEAT_SCALE_K * np.expm1(u))
                out[i, j] = model.hmass() - self.h0, pressure / model.rhomass(), model.smass() - self.s0
        return out

    def measure(self):
        """Largest errors at points midway and at a third between the nodes; `working` is -40..+70 C (or 6 K below
        critical) and 0..40 K of superheat, `whole` the whole table."""
        working_high = min(343.15, self.t_critical - 6)
        mask = np.ones(len(self.fine_t), bool)
        inner = (self.fine_t >= 233.15) & (self.fine_t <= working_high)
        result = {'whole': {}, 'working': {}}
        for label, keep in (('whole', mask), ('working', inner)):
            t = self.fine_t[keep]
            r = result[label]
            r['temperature_K'] = max(
                np.max(np.abs(evaluate(self.saturation[s], *self.log_ranges[s], d[keep, 0]) - t))
                for s, d in (('dew', self.dew), ('bubble', self.bubble)))
            r['pressure_relative'] = max(
                np.max(np.abs(np.expm1(evaluate(self.log_pressure[s], self.t_low, self.t_high, t) - d[keep, 0])))
                for s, d in (('dew', self.dew), ('bubble', self.bubble)))
            r['liquidEnthalpy_J_kg'] = np.max(np.abs(
                evaluate(self.liquid_h, self.t_low, self.t_high, t) - self.bubble[keep, 1] + self.h0))
            r['liquidDensity_relative'] = np.max(np.abs(
                evaluate(self.liquid_rho, self.t_low, self.t_high, t) / self.bubble[keep, 2] - 1))
        low, high = self.log_ranges['dew']
        step = (high - low) / PRESSURE_PIECES
        log_p = np.concatenate([low + step * (np.arange(PRESSURE_PIECES) + 0.5), [high - step / 8, high]])
        du = self.u_high / SUPERHEAT_PIECES
        u = np.concatenate([[0], du * (np.arange(SUPERHEAT_PIECES) + 0.5), [du / 5, self.u_high]])
        exact = self.vapour(log_p, u)
        wp = spline_weights(self.surfaces[0].shape[0], low, high, log_p)
        wu = spline_weights(self.surfaces[0].shape[1], 0, self.u_high, u)
        approx = np.stack([wp @ c @ wu.T for c in self.surfaces], axis=2)
        dew = self.invert(self.dew[:, 0], log_p)
        superheat = SUPERHEAT_SCALE_K * np.expm1(u)
        temperature = dew[:, None] + superheat[None, :]
        whole = temperature <= self.hottest
        working = whole & (superheat[None, :] <= 40) & (dew[:, None] >= 233.15) & (dew[:, None] <= working_high)
        for label, keep in (('whole', whole), ('working', working)):
            r = result[label]
            r['vapourEnthalpy_J_kg'] = np.max(np.abs(approx - exact)[:, :, 0][keep])
            r['vapourDensity_relative'] = np.max(np.abs(exact[:, :, 1] / approx[:, :, 1] - 1)[keep])
            r['vapourEntropy_J_kgK'] = np.max(np.abs(approx - exact)[:, :, 2][keep])
        return result

    def module(self):
        curves = np.concatenate([
            self.saturation['dew'], self.saturation['bubble'], self.log_pressure['dew'], self.log_pressure['bubble'],
            self.liquid_h, self.liquid_rho])
        surfaces = np.concatenate([c.ravel() for c in self.surfaces])
        errors = self.measure()

        def round_up(v):
            # A quarter more than seen, because the worst place may lie between the points tried.
            return float(f'{v * 1.25:.1e}')

        def error_block(values):
            return '{ ' + ', '.join(f'{k}: {round_up(v)}' for k, v in values.items()) + ' }'

        composition = ', '.join(f"{{ component: '{c}', massFraction: {w} }}" for c, w in COMPOSITIONS[self.name].items())
        numbers = {
            'lowestSaturation_K': self.t_low, 'highestSaturation_K': self.t_high, 'hottestVapour_K': self.hottest,
            'criticalTemperature_K': round(self.t_critical, 3), 'largestSuperheat_K': LARGEST_SUPERHEAT_K,
            'superheatScale_K': SUPERHEAT_SCALE_K, 'saturationPieces': SATURATION_PIECES,
            'pressurePieces': PRESSURE_PIECES, 'superheatPieces': SUPERHEAT_PIECES,
        }
        lines = [f'  {k}: {float(v):.12g},' for k, v in numbers.items()]
        for side in ('dew', 'bubble'):
            low, high = self.log_ranges[side]
            lines.append(f'  {side}LogPressure: [{float(low)!r}, {float(high)!r}],')
        text = (
            '  {\n'
            f"  name: '{self.name}',\n"
            f"  source: 'CoolProp {VERSION}, {'equation of state' if is_pure(self.name) else 'HEOS mixture model'}',\n"
            f'  composition: [{composition}],\n' + '\n'.join(lines) + '\n'
            f"  largestError: {error_block(errors['whole'])},\n"
            f"  largestWorkingError: {error_block(errors['working'])},\n"
            f"  curves:\n    '{base64.b64encode(curves.astype('<f8').tobytes()).decode()}',\n"
            f"  surfaces:\n    '{base64.b64encode(surfaces.astype('<f4').tobytes()).decode()}',\n"
            '  },\n')
        return text, errors


def main():
    entries = []
    for name in COMPOSITIONS:
        text, errors = Table(name).module()
        entries.append(text)
        print(name, {k: {a: float(f'{b:.2g}') for a, b in v.items()} for k, v in errors.items()}, flush=True)
    # One module for all: loading twenty-two of them takes longer than reading their numbers.
    TABLES.mkdir(exist_ok=True)
    (TABLES / 'index.ts').write_text(
        '// Made by make-tables.py; do not edit.\n'
        "import type { FluidTable } from '../fluid-table.js';\n\n"
        'export const fluidTables: readonly FluidTable[] = [\n' + ''.join(entries) + '];\n')


if __name__ == '__main__':
    main()
