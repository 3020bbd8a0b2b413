#!/usr/bin/env python3
"""Makes tests/published/values/refrigerant-check-points.json: CoolProp 8.0.0 values at places drawn at random (fixed
seed), so off every node of the tables, by flashes of its own: the envelope is stepped over pressure, not temperature,
and vapour is solved without a phase imposed wherever CoolProp manages that.

    python3 make-check-points.py
"""

import json
import random
from pathlib import Path

import CoolProp.CoolProp as CP

from fluid_models import COMPOSITIONS, VERSION, critical_temperature, is_pure, state
from importlib import import_module

tables = import_module('make-tables')
OUT = Path(__file__).parents[3] / 'tests' / 'published' / 'values' / 'refrigerant-check-points.json'
PER_SIDE, PER_SURFACE = 40, 60
LOW_K, HIGH_K, BELOW_CRITICAL_K, SUPERHEAT_K = 233.15, 343.15, 6.0, 40.0


def saturated(name, quality, temperatures):
    """[T, p, h, rho] of the saturated phase; blends reach each pressure from the one before."""
    rows = []
    model = state(name)
    if is_pure(name):
        for temperature in temperatures:
            model.update(CP.QT_INPUTS, quality, temperature)
            pressure = model.p()
            model.update(CP.PQ_INPUTS, pressure, quality)
            rows.append([model.T(), pressure, model.hmass(), model.rhomass()])
        return rows
    model.update(CP.QT_INPUTS, quality, 273.15)
    for branch in ([t for t in temperatures if t >= 273.15], [t for t in reversed(temperatures) if t < 273.15]):
        model.update(CP.QT_INPUTS, quality, 273.15)
        for temperature in branch:
            # A pressure near the wanted temperature; which temperature it really has is the solver's answer.
            while abs(model.T() - temperature) > 1e-6:
                ahead = max(-0.4, min(0.4, temperature - model.T()))
                model.update_with_guesses(CP.QT_INPUTS, quality, model.T() + ahead, tables.guesses_from(model))
            pressure = float(f'{model.p():.9g}')
            model.update_with_guesses(CP.PQ_INPUTS, pressure, quality, tables.guesses_from(model))
            rows.append([model.T(), pressure, model.hmass(), model.rhomass()])
    return sorted(rows)


def check_points(name, draw):
    high = min(HIGH_K, critical_temperature(name) - BELOW_CRITICAL_K)
    temperatures = lambda n: sorted([LOW_K, high] + [draw.uniform(LOW_K, high) for _ in range(n - 2)])
    dew, bubble = saturated(name, 1, temperatures(PER_SIDE)), saturated(name, 0, temperatures(PER_SIDE))
    origin = saturated(name, 1, [273.15])[0]
    imposed = state(name)
    imposed.specify_phase(CP.iphase_gas)
    imposed.update(CP.PT_INPUTS, origin[1], 273.15)
    s0 = imposed.smass()
    vapour = []
    limit = tables.equation_limit(name)
    for temperature, pressure, _, _ in saturated(name, 1, temperatures(PER_SURFACE)):
        superheat = draw.choice([draw.uniform(0.01, 2), draw.uniform(0, SUPERHEAT_K)])
        hot = min(temperature + superheat, limit)
        model = state(name)
        try:
            if not is_pure(name):
                raise ValueError
            model.update(CP.PT_INPUTS, pressure, hot)
        except ValueError:
            model = imposed
            tables.update_vapour(model, pressure, hot)
        vapour.append([pressure, hot, model.hmass() - origin[2], model.rhomass(), model.smass() - s0])
    rounded = lambda rows: [[float(f'{v:.9g}') for v in row] for row in rows]
    return {
        'dew': rounded([[t, p] for t, p, _, _ in dew]),
        'bubble': rounded([[t, p, h - origin[2], rho] for t, p, h, rho in bubble]),
        'vapour': rounded(vapour),
    }


def main():
    draw = random.Random(20260101)
    fluids = {name: check_points(name, draw) for name in COMPOSITIONS}
    OUT.parent.mkdir(parents=True, exist_ok=True)
    header = {
        'source': f'COMPUTED by CoolProp {VERSION} (Bell et al. 2014, doi 10.1021/ie4033999); blends by mass '
        'composition of ASHRAE 34 through its mixture model; made by backend/core/fluids/make-check-points.py',
        'columns': {
            'dew': ['temperature_K', 'pressure_Pa'],
            'bubble': ['temperature_K', 'pressure_Pa', 'enthalpy_J_kg', 'density_kg_m3'],
            'vapour': ['pressure_Pa', 'temperature_K', 'enthalpy_J_kg', 'density_kg_m3', 'entropy_J_kgK'],
        },
    }
    text = json.dumps({**header, 'fluids': fluids}, separators=(',', ':'))
    OUT.write_text(text.replace('"fluids":{', '\n"fluids":{\n').replace(']]},"', ']]},\n"') + '\n')


if __name__ == '__main__':
    main()
